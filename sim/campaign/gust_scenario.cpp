#include "sim/campaign/gust_scenario.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "sim/campaign/ar_index.hpp"
#include "sim/campaign/loop_setup.hpp"
#include "sim/campaign/percentile.hpp"
#include "sim/campaign/right_restriction.hpp"

namespace leeward::sim {

namespace {

constexpr std::size_t kOrder = 40;  // of the model behind the index, at 10 Hz

int ticks_of(double seconds) { return static_cast<int>(std::lround(seconds * 10)); }

/// @returns the ticks it took, or 0
int reach(ClosedLoop& loop, const GustScenario& scenario) {
  for (int i = 1; i <= ticks_of(scenario.reach_s); ++i) {
    const control::StepOutput out = loop.tick();
    if (std::abs(out.trace.induced_pa - scenario.target_pa) <= 1) return i;
  }
  return 0;
}

struct Held {
  std::vector<double> true_error_pa;
  std::vector<double> measured_error_pa;
  double mean_demand_frac = 0;
};

Held hold(ClosedLoop& loop, const GustScenario& scenario) {
  Held held;
  for (int i = 0; i < ticks_of(scenario.count_s); ++i) {
    const control::StepOutput out = loop.tick();
    held.true_error_pa.push_back(induced_by_truth_pa(loop, loop.state().zero_flow_pa) - scenario.target_pa);
    held.measured_error_pa.push_back(out.trace.induced_pa - scenario.target_pa);
    held.mean_demand_frac += out.command.fans[0].demand_frac / ticks_of(scenario.count_s);
  }
  return held;
}

/// The same house, gusts and times; only the command stands still. The plant alone: nothing is decided.
std::vector<double> constant_error_pa(const HouseSpec& house, int restriction, std::uint64_t seed,
                                      int covered_ticks, int waiting_ticks, double demand_frac,
                                      double zero_pa, const GustScenario& scenario) {
  Plant plant(house, plant_seed(seed));
  plant.set_fitted(restriction);
  for (int i = 0; i < covered_ticks; ++i) plant.step(0.1);
  plant.set_covered(false);
  plant.set_command(demand_frac, true);
  for (int i = 0; i < waiting_ticks; ++i) plant.step(0.1);
  std::vector<double> error_pa;
  for (int i = 0; i < ticks_of(scenario.count_s); ++i) {
    plant.step(0.1);
    error_pa.push_back(control::along(plant.direction(), plant.truth().building_pressure_pa - zero_pa) -
                       scenario.target_pa);
  }
  return error_pa;
}

void set_indices(std::vector<double> error_pa, GustRun& run) {
  const double middle = mean(error_pa);
  for (double& e : error_pa) e -= middle;
  const ArModel model = fit_ar(error_pa, kOrder);
  run.index_half_s = unpredictable_share(model, 5);
  run.index_1_s = unpredictable_share(model, 10);
  run.index_2_s = unpredictable_share(model, 20);
}

}  // namespace

GustRun run_gusts(const HouseSpec& house, const Tool& tool, const GustScenario& scenario,
                  std::uint64_t seed) {
  const int restriction = right_restriction(house, 10, std::max(scenario.target_pa, kHighestStation));
  ClosedLoop loop = loop_of(house, tool, restriction, seed);
  (void)covered_mean_pa(loop, scenario.baseline_s);
  const int covered_ticks = static_cast<int>(std::lround(loop.time_s() * 10));
  loop.request(hold_request(scenario.target_pa, told_of(house, tool.told, seed)));

  GustRun run;
  const int reaching = reach(loop, scenario);
  run.reached = reaching > 0;
  if (run.reached) {
    loop.run_for(scenario.wait_s);
    Held held = hold(loop, scenario);
    run.mean_demand_frac = held.mean_demand_frac;
    run.true_error_pa = std::move(held.true_error_pa);
    run.constant_error_pa =
        constant_error_pa(house, restriction, seed, covered_ticks, reaching + ticks_of(scenario.wait_s),
                          held.mean_demand_frac, loop.state().zero_flow_pa, scenario);
    run.rms_pa = rms(run.true_error_pa);
    run.constant_rms_pa = rms(run.constant_error_pa);
    set_indices(std::move(held.measured_error_pa), run);
  }
  run.tripped = loop.state().guard.trip.active();
  return run;
}

}  // namespace leeward::sim
