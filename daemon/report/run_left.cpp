#include "daemon/report/run_left.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {
using control::DirectionRecord;
using control::EngineState;
using control::Phase;
using control::ProcedureSpec;

constexpr double kMoveS = 6;  ///< from one station to the next, as a fan of middle speed does it
constexpr double kNsPerS = 1e9;

struct Pace {
  double baseline_s = 0;
  double station_s = 0;  ///< with the way to it
};

double seconds_of(std::int64_t begin_ns, std::int64_t end_ns) {
  return static_cast<double>(end_ns - begin_ns) / kNsPerS;
}

/// Where readings are as long as the wind asks, those to come will be about as long as the last ones.
Pace pace_of(const EngineState& state) {
  const ProcedureSpec& procedure = state.run.procedure;
  Pace pace{procedure.baseline_s, procedure.station_average_s};
  for (const DirectionRecord& direction : state.record.directions) {
    if (direction.before.taken)
      pace.baseline_s = seconds_of(direction.before.begin_ns, direction.before.end_ns);
    if (!direction.stations.empty()) {
      const auto& last = direction.stations.back();
      pace.station_s = seconds_of(last.begin_ns, last.end_ns);
    }
  }
  pace.station_s += kMoveS + procedure.station_settle_s;
  return pace;
}

double climb_s(const ProcedureSpec& procedure) {
  if (procedure.stations_pa.empty()) return 0;
  const double highest = *std::max_element(procedure.stations_pa.begin(), procedure.stations_pa.end());
  return std::max(0.0, highest - procedure.look_round_pa) / procedure.climb_rate_pa_s;
}

/// What comes after this phase in the present direction.
double rest_of_direction_s(const EngineState& state, const Pace& pace) {
  const ProcedureSpec& procedure = state.run.procedure;
  const double closing = procedure.baseline_after ? pace.baseline_s : 0;
  const auto all = static_cast<double>(procedure.stations_pa.size());
  const double stations = all - state.sequencer.first_station;
  switch (state.phase) {
    case Phase::prepare:
      return pace.baseline_s + procedure.look_round_min_s + climb_s(procedure) + stations * pace.station_s +
             closing;
    case Phase::baseline:
    case Phase::uncover:
      return procedure.look_round_min_s + climb_s(procedure) + stations * pace.station_s + closing;
    case Phase::look_round:
      return climb_s(procedure) + stations * pace.station_s + closing;
    case Phase::climb:
      return stations * pace.station_s + closing;
    case Phase::stations:
      return std::max(0.0, all - state.sequencer.station - 1) * pace.station_s + closing;
    default:
      return 0;
  }
}

/// What is left of the present reading or of the way to it, where the engine has not planned that yet.
double phase_rest_s(const EngineState& state, const Pace& pace, double planned_s) {
  if (planned_s > 0) return planned_s;
  switch (state.phase) {
    case Phase::baseline:
    case Phase::closing_baseline:
      return std::max(0.0, pace.baseline_s - state.sequencer.phase_s);
    case Phase::stations:
      return std::max(0.0, pace.station_s - state.sequencer.step_s);
    default:
      return 0;
  }
}
}  // namespace

std::optional<double> run_left_s(const EngineState& state, double phase_left_s) {
  if (state.run_state != control::RunState::running || state.run.procedure.id.empty()) return std::nullopt;
  const Pace pace = pace_of(state);
  double left_s = phase_rest_s(state, pace, phase_left_s) + rest_of_direction_s(state, pace);
  const bool has_second =
      state.run.direction == control::DirectionChoice::both && state.sequencer.direction_index == 0;
  if (has_second) {
    EngineState second;
    second.run = state.run;
    second.phase = Phase::prepare;
    left_s += rest_of_direction_s(second, pace);
  }
  return left_s;
}

}  // namespace leeward::daemon
