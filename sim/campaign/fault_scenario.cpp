#include "sim/campaign/fault_scenario.hpp"

#include <array>
#include <cmath>
#include <iterator>

#include "sim/campaign/fault_judge.hpp"
#include "sim/campaign/fault_stage.hpp"
#include "sim/campaign/loop_setup.hpp"
#include "sim/house_truth.hpp"

namespace leeward::sim {
namespace {

using control::Phase;

constexpr std::array kPhases{Phase::baseline, Phase::look_round, Phase::climb, Phase::stations,
                             Phase::closing_baseline};
constexpr double kTravel = 4;       // s between stations
constexpr double kAfterwards = 20;  // s that are watched after the end: a fan that goes on shows by then

/// About how long a phase lasts.
double length_s(Phase phase, const control::ProcedureSpec& p) {
  switch (phase) {
    case Phase::look_round:
      return p.look_round_min_s;
    case Phase::climb:
      return (p.stations_pa.empty() ? 50 : p.stations_pa[0]) / std::max(0.1, p.climb_rate_pa_s);
    case Phase::stations:
      return static_cast<double>(p.stations_pa.size()) * (kTravel + p.station_settle_s + p.station_average_s);
    default:
      return p.baseline_s;
  }
}

/// A moment in a phase; due at once where the run has gone past the phase before it came.
class Moment {
 public:
  Moment(const control::ProcedureSpec& procedure, Rng rng)
      : phase_(kPhases[static_cast<std::size_t>(rng.uniform() * std::size(kPhases))]),
        after_s_(rng.uniform() * length_s(phase_, procedure)) {}
  bool due(Phase now, double time_s) {
    if (now == phase_ && !inside_) {
      inside_ = true;
      from_s_ = time_s;
    }
    return inside_ && (now != phase_ || time_s - from_s_ >= after_s_);
  }

 private:
  Phase phase_;
  double after_s_;
  bool inside_ = false;
  double from_s_ = 0;
};

bool over(const control::EngineState& s) {
  return s.phase == Phase::result || s.phase == Phase::tripped || s.run_state != control::RunState::running;
}

void judge_result(const control::EngineState& state, const HouseSpec& house, FaultKind kind, FaultRun& run) {
  const control::RunResult& result = state.result;
  if (!result.computed || !result.q_ref_m3_s.known) return;
  const double q50 = true_q50_m3_s(house);
  run.q50_error_frac = result.q_ref_m3_s.value / q50 - 1;
  run.q50_half_frac = 0.5 * (result.q_ref_m3_s.high - result.q_ref_m3_s.low) / result.q_ref_m3_s.value;
  const double off = std::abs(result.q_ref_m3_s.value - q50);
  const double width = result.q_ref_m3_s.high - result.q_ref_m3_s.low;
  // What was so before the first station is the house as the crew left it, not a thing that happened; a fan
  // of the house that starts after the first zero-flow reading is one, since the closing reading shows it.
  const bool before_stations = run.phase != Phase::stations && run.phase != Phase::closing_baseline;
  const bool prepared_so = run.happened && ((kind == FaultKind::opening && before_stations) ||
                                            (kind == FaultKind::exhaust_fan && run.phase == Phase::baseline));
  run.wrong_as_valid = run.end == TestEnd::valid && result.findings.empty() && off > width && !prepared_so;
}

}  // namespace

FaultRun run_fault(const HouseSpec& base, const Tool& tool, const FaultScenario& scenario, FaultKind kind,
                   std::uint64_t seed) {
  FaultRun run;
  Rng rng(seed, 78);
  HouseSpec house = base;
  house.wind.mean_m_s = run.wind_m_s = rng.uniform(scenario.wind_m_s.low, scenario.wind_m_s.high);
  const control::EngineConfig config = config_of(house, tool, seed);
  ClosedLoop loop(house, plant_seed(seed), config);
  loop.plant().set_covered(true);
  loop.fit_takes_s = scenario.test.fit_takes_s;
  loop.request(run_request(house, scenario.test, told_of(house, tool.told, seed)));
  const std::uint64_t draw = seed + (static_cast<std::uint64_t>(kind) << 40U);
  FaultStage stage(kind, draw);
  stage.attach(loop);
  control::Sample sample;
  const auto tamper = loop.tamper;
  loop.tamper = [&](control::Sample& s) {
    tamper(s);
    sample = s;
  };
  Moment moment(scenario.test.procedure, Rng(draw, 79));
  FaultJudge judge(stage, config.limits.building_pressure_max_pa, config.limits.sensor_range_pa);
  double ended_s = 0;
  while (loop.time_s() < scenario.test.most_s) {
    const bool has_begun = loop.time_s() > 0;
    const Phase phase = loop.state().phase;
    if (!stage.begun() && has_begun && !over(loop.state()) && moment.due(phase, loop.time_s())) {
      run = {.wind_m_s = run.wind_m_s, .happened = true, .phase = phase, .at_s = loop.time_s()};
      stage.begin(loop);
    }
    stage.before_tick(loop);
    const control::StepOutput out = loop.tick();
    judge.look(loop, sample, out);
    if (!over(loop.state())) continue;
    if (ended_s == 0) {
      ended_s = loop.time_s();
      run.end = end_of(loop.state());
      run.false_trip =
          kind == FaultKind::none && run.end == TestEnd::tripped &&
          !(loop.state().guard.trip.cause == control::TripCause::over_pressure && judge.lately_beyond());
    }
    if (loop.time_s() - ended_s >= kAfterwards) break;
  }
  run.size = stage.size();
  run.cause = loop.state().guard.trip.cause;
  run.named = is_named(kind, run.cause);
  run.demanded = judge.demanded();
  run.to_safe_s = judge.to_safe_s();
  run.beyond_s = judge.beyond_s();
  judge_result(loop.state(), house, kind, run);
  return run;
}

}  // namespace leeward::sim
