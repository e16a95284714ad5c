#pragma once
/// Holding a pressure in gusts, against a fan whose command stands still.

#include <cstdint>
#include <vector>

#include "sim/campaign/step_scenario.hpp"

namespace leeward::sim {

struct GustScenario {
  double baseline_s = 30;
  double target_pa = 50;
  double reach_s = 60;  ///< at most, to within 1 Pa as measured
  double wait_s = 30;
  double count_s = 120;
  bool operator==(const GustScenario&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("baseline_s", &GustScenario::baseline_s);
    v("target_pa", &GustScenario::target_pa);
    v("reach_s", &GustScenario::reach_s);
    v("wait_s", &GustScenario::wait_s);
    v("count_s", &GustScenario::count_s);
  }
};

struct GustRun {
  bool reached = false;
  bool tripped = false;
  double mean_demand_frac = 0;
  double rms_pa = 0;  ///< of the true pressure about the target, from the tool's own zero-flow reading
  double constant_rms_pa = 0;  ///< the same gusts with the command at the mean of the tool's
  double index_half_s = 0;     ///< share of the measured error that cannot be predicted so far ahead
  double index_1_s = 0;
  double index_2_s = 0;
  std::vector<double> true_error_pa;  ///< at each sample that counts; empty where never reached
  std::vector<double> constant_error_pa;
};

[[nodiscard]] GustRun run_gusts(const HouseSpec& house, const Tool& tool, const GustScenario& scenario,
                                std::uint64_t seed);

}  // namespace leeward::sim
