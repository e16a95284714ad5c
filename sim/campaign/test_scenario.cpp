#include "sim/campaign/test_scenario.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>

#include "sim/campaign/loop_setup.hpp"
#include "sim/campaign/right_restriction.hpp"
#include "sim/house_truth.hpp"

namespace leeward::sim {

using control::Interval;

control::Request run_request(const HouseSpec& house, const TestScenario& scenario, const Told& told) {
  control::Request request;
  request.kind = control::RequestKind::start_run;
  request.run.procedure = scenario.procedure;
  request.run.direction = scenario.direction;
  request.run.building.name = house.name.view();
  request.run.building.volume_m3 = told.volume_m3;
  request.run.building.height_m = house.height_m;
  request.run.conditions.indoor_c = told.indoor_c;
  request.run.conditions.outdoor_c = told.outdoor_c;
  request.run.conditions.indoor_rh_frac = house.indoor_rh_frac;
  request.run.conditions.outdoor_rh_frac = house.outdoor_rh_frac;
  request.run.conditions.has_barometric = true;
  request.run.conditions.barometric_pa = barometric_pressure_pa(house);
  return request;
}

namespace {

bool holds(const Interval& interval, double truth) {
  return interval.known && interval.low <= truth && truth <= interval.high;
}

}  // namespace

TestEnd end_of(const control::EngineState& state) {
  using control::RunState;
  if (state.run_state == RunState::running) return TestEnd::unfinished;
  if (state.guard.trip.active() || state.run_state == RunState::tripped) return TestEnd::tripped;
  const bool ended = state.run_state == RunState::done || state.run_state == RunState::invalid;
  if (!ended || !state.result.computed) return TestEnd::refused;
  return state.result.valid ? TestEnd::valid : TestEnd::invalid;
}

namespace {

constexpr double kNotKnown = std::numeric_limits<double>::quiet_NaN();

/// 1 where a restriction serves all stations, 0 where another one would; NaN where none does.
double rightness(const HouseSpec& house, std::span<const double> stations_pa, int fitted) {
  if (fewest_changes(house, stations_pa) != 0) return kNotKnown;
  return fewest_changes(house, stations_pa, {}, fitted) == 0 ? 1 : 0;
}

/// Changes in all, those after the first station was done, and what was fitted by then.
void judge_restrictions(const ClosedLoop& loop, const HouseSpec& house, const TestScenario& scenario,
                        TestRun& run) {
  int fitted = loop.engine().config().fans[0].fitted;
  int first_fitted = -1;
  int later = 0;
  for (const control::Event& event : loop.events()) {
    if (event.kind == control::EventKind::station_done && first_fitted < 0) first_fitted = fitted;
    if (event.kind != control::EventKind::restriction_fitted) continue;
    fitted = static_cast<int>(event.b);
    ++run.changes;
    later += first_fitted >= 0 ? 1 : 0;
  }
  const std::span<const double> stations{scenario.procedure.stations_pa.begin(),
                                         scenario.procedure.stations_pa.size()};
  run.choice_right = first_fitted >= 0 ? rightness(house, stations, first_fitted) : kNotKnown;
  const auto fewest = fewest_changes(house, stations);
  const bool both = scenario.direction == control::DirectionChoice::both;
  run.excess_changes = fewest && !both ? std::max(0, later - *fewest) : kNotKnown;
}

void judge(const control::RunResult& result, const HouseSpec& house, TestRun& run) {
  const double q50 = true_q50_m3_s(house);
  const double n = true_n(house);
  run.q50_error_frac = result.q_ref_m3_s.value / q50 - 1;
  run.q50_half_frac = 0.5 * (result.q_ref_m3_s.high - result.q_ref_m3_s.low) / result.q_ref_m3_s.value;
  run.q50_held = holds(result.q_ref_m3_s, q50);
  run.n_error = result.n.value - n;
  run.n_half = 0.5 * (result.n.high - result.n.low);
  run.n_held = holds(result.n, n);
}

}  // namespace

TestRun run_test(const HouseSpec& house, const Tool& tool, const TestScenario& scenario, std::uint64_t seed) {
  const control::EngineConfig config = config_of(house, tool, seed);
  ClosedLoop loop(house, plant_seed(seed), config);
  loop.plant().set_covered(true);
  loop.fit_takes_s = scenario.fit_takes_s;
  loop.request(run_request(house, scenario, told_of(house, tool.told, seed)));
  (void)loop.run_until(
      [&] {
        const control::Phase phase = loop.state().phase;
        return phase == control::Phase::result || phase == control::Phase::tripped ||
               loop.state().run_state != control::RunState::running;
      },
      scenario.most_s);
  TestRun run;
  run.minutes = loop.time_s() / 60;
  run.end = end_of(loop.state());
  judge_restrictions(loop, house, scenario, run);
  if (run.end == TestEnd::valid || run.end == TestEnd::invalid) judge(loop.state().result, house, run);
  return run;
}

}  // namespace leeward::sim
