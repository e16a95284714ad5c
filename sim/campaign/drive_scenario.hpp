#pragma once
/// An experiment with a drive on a simulated house, and what is found from it.

#include <cstdint>

#include "control/estimate/drive_fit.hpp"
#include "control/request.hpp"
#include "sim/campaign/step_scenario.hpp"

namespace leeward::sim {

struct DriveRun {
  control::DriveFit fit;
  double lasted_s = 0;    ///< of sample time with the fan uncovered and hands off
  double highest_pa = 0;  ///< true induced pressure
  double demand_most_frac = 0;
  bool tripped = false;
  bool whole = false;  ///< the experiment came to its end
};

[[nodiscard]] DriveLearnt judged_drive(const HouseSpec& house, const DriveRun& run);

/// Tells an engine what was found.
[[nodiscard]] control::Request tell_request(const control::DriveFound& found);

/// @param restriction  fitted throughout
[[nodiscard]] DriveRun run_drive_experiment(const HouseSpec& house, const Tool& tool, int restriction,
                                            std::uint64_t seed);

}  // namespace leeward::sim
