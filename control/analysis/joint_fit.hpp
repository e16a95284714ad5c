#pragma once
/// Our estimate of one direction from everything that its record holds: both zero-flow readings and all
/// stations, block by block, are explained at once by a leakage curve, a zero-flow pressure and one gusty
/// process in time. What can't be seen in the data (an uneven load on the leaks, a calibration) enters with
/// its prior.

#include "control/analysis/curve_uncertainty.hpp"
#include "control/analysis/joint_model.hpp"

namespace leeward::control {

struct JointFit {
  bool ok = false;
  UncertainCurve curve;     ///< at the leak's air
  JointPoint at;            ///< the same roughly: where the model is linear
  GustProcess gusts;        ///< the likeliest one
  double zero_flow_pa = 0;  ///< along the direction
};

/// @returns whether the record holds the blocks that the fit needs
[[nodiscard]] bool has_blocks(const DirectionRecord& record) noexcept;

/// Errors   not ok: no zero-flow blocks, no station, a figure that is not finite, or without the prior fewer
///          than 3 stations
/// Source   linear Gaussian model with the gusts' variance and time scale averaged over their posterior on a
///          grid (textbook); the priors' sizes are at their definition
[[nodiscard]] JointFit joint_fit(const JointModel& model) noexcept;

}  // namespace leeward::control
