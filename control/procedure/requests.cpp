#include "control/procedure/requests.hpp"

#include <algorithm>
#include <cmath>

#include "control/procedure/asks.hpp"
#include "control/procedure/kept_run.hpp"

namespace leeward::control {
namespace {

constexpr double kLearnBaseline = 15;  // s
constexpr double kFurthestKept = 0.1;  // of full demand from the present one: an experiment is a small thing

bool at_rest(Phase phase) {
  return phase == Phase::idle || phase == Phase::result || phase == Phase::restore;
}

bool in_hold(const EngineState& s) {
  return s.run_state != RunState::running && (s.phase == Phase::hold || s.phase == Phase::climb);
}

/// Makes room for something done by hand. Seals that are still to come off are not forgotten over it.
void put_asks_aside(Scene& scene) {
  EngineState& s = scene.state;
  s.sequencer.restore_due = s.sequencer.restore_due || (s.phase == Phase::restore && any_open(s));
  withdraw_asks(scene);
}

bool inside(double v, double low, double high) { return v >= low && v <= high; }

Refusal stop(Scene& scene) {
  EngineState& s = scene.state;
  s.guard.trip.mode = StopMode::cut;  // a ramp that is going on is cut short
  if (s.run_state == RunState::running) {
    end_run(scene, RunState::stopped);
  } else if (!at_rest(s.phase) && s.phase != Phase::tripped) {
    scene.events.push_back({EventKind::hold_ended, 0, 0, 0, 0});
    end_by_hand(scene);
  }
  return Refusal::accepted;
}

Refusal baseline(Scene& scene, const Request& r) {
  EngineState& s = scene.state;
  if (!at_rest(s.phase)) return Refusal::busy;
  if (!std::isfinite(r.duration_s)) return Refusal::not_finite;
  if (!inside(r.duration_s, 5, 600)) return Refusal::out_of_range;
  put_asks_aside(scene);
  if (s.run_state == RunState::tripped) s.run_state = RunState::none;
  enter_phase(scene, Phase::baseline);
  s.sequencer.learns_drive = false;
  s.sequencer.hold_left_s = r.duration_s;
  return Refusal::accepted;
}

Refusal hold(Scene& scene, const Request& r, bool with_rate) {
  EngineState& s = scene.state;
  if (!at_rest(s.phase) && !in_hold(s)) return Refusal::busy;
  if (!std::isfinite(r.target_pa) || !std::isfinite(r.rate_pa_s) || !std::isfinite(r.max_s) ||
      !std::isfinite(r.volume_m3))
    return Refusal::not_finite;
  if (r.target_pa < kLeastTarget || !inside(r.max_s, 1, 86400) || r.volume_m3 < 0)
    return Refusal::out_of_range;
  if (with_rate && !inside(r.rate_pa_s, 0.05, 20)) return Refusal::out_of_range;
  if (r.target_pa > scene.config.limits.building_pressure_max_pa) return Refusal::above_ceiling;
  if (!s.has_zero_flow) return Refusal::no_baseline;
  if (r.target_pa > scene.config.look_round_pa && !r.look_round_done) return Refusal::look_round_missing;
  if (in_hold(s) && r.direction != s.direction) return Refusal::busy;
  put_asks_aside(scene);
  if (s.run_state == RunState::tripped) s.run_state = RunState::none;
  // Who wants the fan to blow has taken its cover off, whatever the last run left.
  for (FanSetup& fan : s.fans) fan.covered = false;
  s.direction = r.direction;
  if (r.volume_m3 > 0) {
    s.volume_m3 = r.volume_m3;
    if (s.house.informed_s <= 0) s.house = house_prior(r.volume_m3);
  }
  enter_phase(scene, with_rate ? Phase::climb : Phase::hold);
  s.target_pa = r.target_pa;
  s.sequencer.kept_frac = 0;
  s.sequencer.hold_left_s = r.max_s;
  s.sequencer.hold_rate_pa_s = with_rate ? r.rate_pa_s : 0;
  scene.events.push_back({EventKind::hold_started, 0, 0, s.target_pa, s.sequencer.hold_rate_pa_s});
  return Refusal::accepted;
}

/// Zero-flow reading, uncovering and the experiment with a drive; nothing is done before the crew is asked.
Refusal learn_drive(Scene& scene, const Request& r) {
  EngineState& s = scene.state;
  if (!at_rest(s.phase)) return Refusal::busy;
  if (!std::isfinite(r.volume_m3)) return Refusal::not_finite;
  if (r.volume_m3 < 0) return Refusal::out_of_range;
  put_asks_aside(scene);
  if (s.run_state == RunState::tripped) s.run_state = RunState::none;
  s.direction = r.direction;
  if (r.volume_m3 > 0) s.volume_m3 = r.volume_m3;
  for (FanSetup& fan : s.fans) fan.covered = false;  // nobody has said since when the cover is on
  enter_phase(scene, Phase::baseline);
  s.sequencer.learns_drive = true;
  s.sequencer.hold_left_s = kLearnBaseline;
  ask_at_rest(scene, HandsWork::cover);
  return Refusal::accepted;
}

Refusal tell_drive(Scene& scene, const Request& r) {
  if (!plausible(r.drive)) return Refusal::out_of_range;
  EngineState& s = scene.state;
  s.drive = r.drive;
  s.drive.known = true;
  scene.events.push_back({EventKind::drive_told, 0, 0, r.drive.slew_s.value, r.drive.lag_s.value});
  return Refusal::accepted;
}

/// An experiment on the loop within a hold: a demand near the one that the fan has.
Refusal keep(Scene& scene, const Request& r) {
  EngineState& s = scene.state;
  if (!in_hold(s)) return Refusal::not_running;
  if (!std::isfinite(r.keep_frac)) return Refusal::not_finite;
  const bool regulates = r.keep_frac == 0;
  if (!regulates && !(r.keep_frac > 0 && std::abs(r.keep_frac - s.applied_frac) <= kFurthestKept))
    return Refusal::out_of_range;
  s.sequencer.kept_frac = r.keep_frac;
  return Refusal::accepted;
}

Refusal direction_refusal(const RunSpec& run) {
  const bool both = run.direction == DirectionChoice::both;
  if (run.procedure.directions == DirectionRule::both && !both) return Refusal::direction_not_allowed;
  if (run.procedure.directions == DirectionRule::one && both) return Refusal::direction_not_allowed;
  return Refusal::accepted;
}

Refusal presence_refusal(const RunSpec& run) {
  if (!std::isfinite(run.presence_s)) return Refusal::not_finite;
  const bool fits = run.presence_s == 0 || inside(run.presence_s, kLeastPresence, kMostPresence);
  return fits ? Refusal::accepted : Refusal::out_of_range;
}

/// The last run may have left the fans the other way round.
void turn_fans_if_needed(Scene& scene) {
  const EngineState& s = scene.state;
  if (s.fans_blow == s.direction) return;
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    open_ask(scene, {.kind = AskKind::turn_fan, .fan = static_cast<int>(i), .direction = s.direction});
}

Refusal stations_refusal(const Scene& scene, const ProcedureSpec& p) {
  if (p.stations_pa.empty()) return Refusal::no_stations;
  for (const double station : p.stations_pa) {
    if (!std::isfinite(station)) return Refusal::not_finite;
    if (station < kLeastTarget) return Refusal::out_of_range;
    if (station > std::min(p.pressure_max_pa, scene.config.limits.building_pressure_max_pa))
      return Refusal::above_ceiling;
  }
  return Refusal::accepted;
}

RunRecord empty_record(const EngineConfig& config, const RunSpec& run) {
  RunRecord record;
  record.procedure = run.procedure;
  record.building = run.building;
  record.conditions = run.conditions;
  record.calibration_density_kg_m3 = config.fans[0].density_kg_m3;
  record.building_gauge_accuracy_frac = config.building_gauge_accuracy_frac;
  record.fan = config.fans[0];
  record.fan_count = static_cast<int>(config.fans.size());
  return record;
}

/// Where the run begins: at its first direction and station, or behind what is kept.
void begin_directions(EngineState& s, const Request& r) {
  const FixedVector<Direction, 2> wanted = directions_of(r.run.direction);
  if (r.kept.any()) {
    s.record.continues = r.kept.from;
    s.record.directions = taken_up(r.run, r.kept, s.now_ns);
  }
  const std::size_t kept = s.record.directions.size();
  const bool goes_on_in_last =
      kept > 0 && left_of(r.run.procedure, r.kept.directions[kept - 1], true) != DirectionLeft::nothing;
  if (goes_on_in_last) {
    s.sequencer.first_station =
        static_cast<std::int32_t>(next_station_of(r.run.procedure, s.record.directions.back()));
  } else {
    DirectionRecord next;
    next.direction = wanted[kept];
    s.record.directions.push_back(next);
  }
  s.direction = s.record.directions.back().direction;
  s.sequencer.direction_index = static_cast<std::int32_t>(s.record.directions.size()) - 1;
}

Refusal start_run(Scene& scene, const Request& r) {
  EngineState& s = scene.state;
  if (!at_rest(s.phase)) return Refusal::busy;
  for (const Refusal refusal : {stations_refusal(scene, r.run.procedure), direction_refusal(r.run),
                                r.kept.any() ? kept_refusal(r.run, r.kept) : Refusal::accepted})
    if (refusal != Refusal::accepted) return refusal;
  if (!r.run.attended && scene.config.silence_stop == SilenceStop::none) return Refusal::unattended_refused;
  if (presence_refusal(r.run) != Refusal::accepted) return presence_refusal(r.run);
  withdraw_asks(scene);
  s.run = r.run;
  s.run_state = RunState::running;
  s.record = empty_record(scene.config, r.run);
  s.sequencer = SequencerState{};
  begin_directions(s, r);
  s.result = RunResult{};
  s.has_zero_flow = false;
  s.volume_m3 = r.run.building.volume_m3;
  s.house = house_prior(s.volume_m3);
  s.look_round_done = false;
  // Nobody has said since when the cover is on: it is asked for anew.
  for (FanSetup& fan : s.fans) fan.covered = false;
  scene.events.push_back({EventKind::run_started, static_cast<std::int64_t>(r.run.direction),
                          kept_stations(s.record), r.kept.from.age_s, 0});
  enter_phase(scene, Phase::prepare);
  turn_fans_if_needed(scene);
  return Refusal::accepted;
}

Refusal pause(Scene& scene, bool on) {
  EngineState& s = scene.state;
  if (!may_pause(s) || on == s.sequencer.paused) return Refusal::not_running;
  if (on && hands_at_fan(s)) return Refusal::not_running;  // the fan is off: there is nothing to hold
  if (on)
    pause_run(scene);
  else
    go_on(s);
  scene.events.push_back({on ? EventKind::paused : EventKind::resumed, 0, 0, s.sequencer.paused_at_pa, 0});
  return Refusal::accepted;
}

Refusal cleared(Scene& scene) {
  EngineState& s = scene.state;
  if (!s.guard.trip.active()) return Refusal::no_trip;
  scene.events.push_back({EventKind::trip_cleared, static_cast<std::int64_t>(s.guard.trip.cause), 0, 0, 0});
  clear_trip(s.guard);
  const bool restores = any_open(s) || s.sequencer.restore_due ||
                        (s.run_state == RunState::tripped && !s.run.procedure.restore.empty());
  s.sequencer.restore_due = false;
  withdraw_asks(scene);
  enter_phase(scene, restores ? Phase::restore : Phase::idle);
  return Refusal::accepted;
}

/// Whatever a person answers or taps says that somebody is there, also where it comes to nothing.
bool is_sign_of_life(RequestKind kind) {
  return kind == RequestKind::still_here || kind == RequestKind::answer || kind == RequestKind::pause ||
         kind == RequestKind::resume;
}

Refusal still_here(const EngineState& s) {
  return s.presence.stage == PresenceStage::off ? Refusal::not_running : Refusal::accepted;
}

}  // namespace

Refusal take_request(Scene& scene, const Request& request) noexcept {
  if (is_sign_of_life(request.kind) && presence_heard(scene.state.presence))
    scene.events.push_back({EventKind::presence_back, 0, 0, 0, 0});
  if (request.kind == RequestKind::stop) return stop(scene);
  if (request.kind == RequestKind::clear_trip) return cleared(scene);
  if (request.kind == RequestKind::answer) return take_answer(scene, request.ask_id, request.answer);
  if (request.kind == RequestKind::tell_drive) return tell_drive(scene, request);
  if (scene.state.guard.trip.active()) return Refusal::tripped;
  switch (request.kind) {
    case RequestKind::baseline:
      return baseline(scene, request);
    case RequestKind::hold:
      return hold(scene, request, false);
    case RequestKind::climb:
      return hold(scene, request, true);
    case RequestKind::learn_drive:
      return learn_drive(scene, request);
    case RequestKind::keep:
      return keep(scene, request);
    case RequestKind::start_run:
      return start_run(scene, request);
    case RequestKind::pause:
      return pause(scene, true);
    case RequestKind::resume:
      return pause(scene, false);
    case RequestKind::still_here:
      return still_here(scene.state);
    default:
      return Refusal::accepted;
  }
}

}  // namespace leeward::control
