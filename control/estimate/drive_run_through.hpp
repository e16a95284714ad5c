#pragma once
/// The experiment with a drive, run through the plant's equations with a guess of all that is not known.

#include <Eigen/Core>
#include <span>
#include <vector>

#include "control/estimate/drive_fit.hpp"

namespace leeward::control {

/// What is sought, in its order; times as their logarithms.
enum Sought : int {
  kSlewAt,
  kLagAt,
  kGaugeAt,
  kTubeAt,
  kOffsetAt,
  kScaleAt,
  kLevelAt,
  kExponentAt,
  kStorageAt,
  kZeroAt,
  kBeginAt,
  kLeastSpeedAt,  ///< where the wheel turns at all
  kBendAt,        ///< Pa by which stack and open fan shift the middle of the leaks
  kSought
};
using Guess = Eigen::Matrix<double, kSought, 1>;
using Normal = Eigen::Matrix<double, kSought, kSought>;

struct Residuals {
  std::vector<double> pressure;
  std::vector<double> signal;
};

/// Runs the experiment with a guess; what the gauges should have shown less what they did, over their noise.
void run_through(std::span<const DriveReading> readings, PlantModel model, const Guess& guess,
                 Residuals& out);

}  // namespace leeward::control
