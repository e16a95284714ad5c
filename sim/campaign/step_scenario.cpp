#include "sim/campaign/step_scenario.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "sim/campaign/drive_scenario.hpp"
#include "sim/campaign/floor_time.hpp"
#include "sim/campaign/loop_setup.hpp"
#include "sim/campaign/right_restriction.hpp"

namespace leeward::sim {

namespace {

constexpr double kSample = 0.1;            // s
constexpr std::size_t kSamplesAPitch = 5;  // of the response

StepOutcome judged_step(const std::vector<double>& pressure_pa, double from_pa, double target_pa) {
  StepOutcome out;
  out.settling_s = settling_time_s(pressure_pa, target_pa, kSample);
  out.settled = std::abs(pressure_pa.back() - target_pa) <= kSettledWithinPa;
  const double way = target_pa >= from_pa ? 1 : -1;
  for (const double p : pressure_pa) out.overshoot_pa = std::max(out.overshoot_pa, way * (p - target_pa));
  out.floor_s = std::numeric_limits<double>::quiet_NaN();
  return out;
}

}  // namespace

StepRun run_steps(const HouseSpec& house, const Tool& tool, const StepScenario& scenario,
                  std::uint64_t seed) {
  const double high_pa = *std::max_element(scenario.targets_pa.begin(), scenario.targets_pa.end());
  const double low_pa = *std::min_element(scenario.targets_pa.begin(), scenario.targets_pa.end());
  const int restriction = right_restriction(house, low_pa, std::max(high_pa, kHighestStation));
  const Told told = told_of(house, tool.told, seed);
  ClosedLoop loop = loop_of(house, tool, restriction, seed);
  StepRun run;
  if (tool.told.drive == DriveTold::identified) {
    const DriveRun drive = run_drive_experiment(house, tool, restriction, seed);
    run.learnt = judged_drive(house, drive);
    if (drive.fit.found.known) loop.request(tell_request(drive.fit.found));
  }
  const double zero_pa = covered_mean_pa(loop, scenario.covered_s);

  double from_pa = 0;
  const auto samples = static_cast<std::size_t>(std::lround(scenario.each_s / kSample));
  for (const double target_pa : scenario.targets_pa) {
    loop.request(hold_request(target_pa, told));
    std::vector<double> pressure_pa;
    for (std::size_t i = 0; i <= samples; ++i) {
      (void)loop.tick();
      pressure_pa.push_back(induced_by_truth_pa(loop, zero_pa));
      if (i % kSamplesAPitch == 0) run.response_pa.push_back(pressure_pa.back());
    }
    run.steps.push_back(judged_step(pressure_pa, from_pa, target_pa));
    from_pa = target_pa;
  }
  run.tripped = loop.state().guard.trip.active();
  if (!scenario.with_floor) return run;
  const std::vector<double> floors =
      floor_times_s(house, restriction, scenario.covered_s,
                    {scenario.targets_pa.begin(), scenario.targets_pa.size()}, scenario.each_s);
  for (std::size_t i = 0; i < floors.size(); ++i) run.steps[i].floor_s = floors[i];
  return run;
}

}  // namespace leeward::sim
