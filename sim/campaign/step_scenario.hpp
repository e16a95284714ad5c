#pragma once
/// Set-point steps in calm air: how fast and how cleanly the pressure follows.

#include <cstdint>
#include <optional>
#include <vector>

#include "control/fixed_vector.hpp"
#include "sim/campaign/told.hpp"

namespace leeward::sim {

using StepTargets = control::FixedVector<double, 6>;

[[nodiscard]] inline StepTargets usual_targets() {
  StepTargets targets;
  for (const double pa : {10., 50., 40.}) targets.push_back(pa);
  return targets;
}

struct StepScenario {
  double covered_s = 15;  ///< zero-flow reading before the first step
  StepTargets targets_pa = usual_targets();
  double each_s = 40;
  bool with_floor = true;
  bool operator==(const StepScenario&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("covered_s", &StepScenario::covered_s);
    v("targets_pa", &StepScenario::targets_pa);
    v("each_s", &StepScenario::each_s);
    v("with_floor", &StepScenario::with_floor);
  }
};

struct StepOutcome {
  double settling_s = 0;  ///< the whole time where it never settled
  double overshoot_pa = 0;
  bool settled = false;
  double floor_s = 0;  ///< NaN where not sought
};

/// How well an experiment has found the drive, before the steps.
struct DriveLearnt {
  double lasted_s = 0;
  double highest_pa = 0;  ///< true induced pressure
  bool found = false;
  // of what was found over what is, less 1
  double slew_error = 0;
  double lag_error = 0;
  double sensor_lag_error = 0;
  double signal_lag_error = 0;
  double dead_band_error_frac = 0;  ///< found less what is
  double misfit = 0;
  double quality = 0;
};

struct StepRun {
  std::vector<StepOutcome> steps;   ///< one a target
  std::vector<double> response_pa;  ///< the true induced pressure, each half second of all steps
  bool tripped = false;
  std::optional<DriveLearnt> learnt;  ///< where the drive is told as identified
};

inline constexpr double kResponsePitch = 0.5;  ///< s

/// What a tool is set to and what it is told of the house.
struct Tool {
  control::RegulatorSpec regulator{};
  ToldSpec told{};
  template <class V>
  static void describe(V&& v) {
    v("regulator", &Tool::regulator);
    v("told", &Tool::told);
  }
};

/// @param house  with its wind, which should be none
[[nodiscard]] StepRun run_steps(const HouseSpec& house, const Tool& tool, const StepScenario& scenario,
                                std::uint64_t seed);

}  // namespace leeward::sim
