#include "control/procedure/sequencer.hpp"

#include <algorithm>
#include <cmath>

#include "control/procedure/asks.hpp"
#include "control/procedure/learn_drive.hpp"
#include "control/procedure/phases.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

// s: the demand that a station is kept at, without the last gust; in still air it needs no long look
constexpr double kSmoothDemandTime = 4.0;
constexpr double kStillDemandTime = 1.0;
constexpr double kSmoothSignalTime = 3.0;  // s: brings a weak signal out of the sensor's noise
constexpr double kLongestWait = 1800;      // s that the fan runs on for a person who does not answer
constexpr double kSmoothTime = 1.5;        // s: what "settled" is judged by, a person's eye on a needle
constexpr double kArrived = 0.01;          // Pa between reference and target

void keep_time(Scene& scene) {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const double dt = scene.sight.dt_s;
  if (s.countdown_s > 0) s.countdown_s = std::max(0.0, s.countdown_s - dt);
  if (scene.sight.fresh)
    q.smooth_induced_pa = lag_step(q.smooth_induced_pa, scene.sight.induced_pa, dt, kSmoothTime);
  if (scene.sight.flow_good)
    q.smooth_signal_pa = lag_step(q.smooth_signal_pa, scene.sight.signal_pa[0], dt, kSmoothSignalTime);
  q.smooth_demand_frac = lag_step(q.smooth_demand_frac, scene.sight.demand_frac, dt,
                                  std::max(kStillDemandTime, gust_share(s) * kSmoothDemandTime));
  if (q.paused || q.returns || hands_at_fan(s)) return;
  q.phase_s += dt;
  q.step_s += dt;
}

/// A fan that runs for a person who has gone is stopped.
bool waited_in_vain(Scene& scene) {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const bool looking = any_open(s, AskKind::look_round);
  // Where the pressure is low for want of a sign of life, that has its own end.
  const bool paused = q.paused && !keeps_low(s.presence);
  q.waited_s = paused || looking ? q.waited_s + scene.sight.dt_s : 0;
  if (q.waited_s < kLongestWait) return false;
  scene.events.push_back({EventKind::nobody_answered, looking ? 1 : 0, 0, q.waited_s, 0});
  q.waited_s = 0;
  end_run(scene, RunState::stopped);
  return true;
}

bool fan_at_work(const EngineState& s) {
  return s.run_state == RunState::running && (may_pause(s) || s.phase == Phase::learn_drive) &&
         !hands_at_fan(s);
}

/// Without a sign of life the run is paused, no higher than it was walked round at.
void mind_presence(Scene& scene) {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const double interval_s = s.run.presence_s;
  const PresenceNews news = presence_step(
      s.presence, {scene.sight.dt_s, s.run_state == RunState::running ? interval_s : 0, fan_at_work(s)});
  const double left_s = silence_allowed_s(s.presence, interval_s) - s.presence.silent_s;
  if (news == PresenceNews::warned)
    scene.events.push_back({EventKind::presence_due, keeps_low(s.presence) ? 1 : 0, 0, left_s, interval_s});
  if (news == PresenceNews::lowered)
    scene.events.push_back(
        {EventKind::presence_lowered, 0, 0, s.presence.silent_s, s.run.procedure.look_round_pa});
  // An experiment with the drive stays below that pressure anyway, and can't be paused.
  if (!keeps_low(s.presence) || !may_pause(s)) return;
  if (!q.paused) pause_run(scene);
  q.paused_at_pa = std::min(q.paused_at_pa, s.run.procedure.look_round_pa);
  s.target_pa = q.paused_at_pa;
}

Want paused_want(const Scene& scene) {
  const EngineState& s = scene.state;
  return {true, s.sequencer.paused_at_pa, keeps_low(s.presence) ? s.run.procedure.climb_rate_pa_s : 0};
}

/// Up again as carefully as the first time, when somebody was there to look.
Want returning(Scene& scene, Want want) {
  SequencerState& q = scene.state.sequencer;
  if (!q.returns || hands_at_fan(scene.state)) return want;
  if (want.rate_pa_s <= 0) want.rate_pa_s = scene.state.run.procedure.climb_rate_pa_s;
  q.returns =
      want.drive && want.keep_frac <= 0 && std::abs(scene.sight.reference_pa - want.target_pa) >= kArrived;
  return want;
}

Want phase_want(Scene& scene) {
  switch (scene.state.phase) {
    case Phase::prepare:
      return step_prepare(scene);
    case Phase::baseline:
      return step_baseline(scene);
    case Phase::uncover:
      return step_uncover(scene);
    case Phase::look_round:
      return step_look_round(scene);
    case Phase::climb:
      return step_climb(scene);
    case Phase::stations:
      return step_stations(scene);
    case Phase::closing_baseline:
      return step_closing_baseline(scene);
    case Phase::restore:
      return step_restore(scene);
    case Phase::hold:
      return step_hold(scene);
    case Phase::learn_drive:
      return step_learn_drive(scene);
    case Phase::idle:
    case Phase::result:
    case Phase::tripped:
      return {};
  }
  return {};
}

}  // namespace

bool hands_at_fan(const EngineState& state) noexcept {
  return state.countdown_s > 0 || state.sequencer.waiting != HandsWork::none ||
         any_open(state, AskKind::cover_fan) || any_open(state, AskKind::uncover_fan) ||
         any_open(state, AskKind::fit_restriction) || any_open(state, AskKind::turn_fan);
}

bool may_pause(const EngineState& state) noexcept {
  return state.run_state == RunState::running &&
         (state.phase == Phase::look_round || state.phase == Phase::climb || state.phase == Phase::stations);
}

void pause_run(Scene& scene) noexcept {
  SequencerState& q = scene.state.sequencer;
  q.paused = true;
  q.paused_at_pa = std::max(kLeastTarget, scene.sight.reference_pa);
  q.step = StationStep::travel;
  q.settled_s = 0;
  q.step_s = 0;
}

void go_on(EngineState& state) noexcept {
  SequencerState& q = state.sequencer;
  q.returns = q.returns || keeps_low(state.presence);
  q.paused = false;
  q.settled_s = 0;
  q.step_s = 0;
  presence_goes_on(state.presence);
}

double gust_share(const EngineState& state) noexcept {
  constexpr double gusty_pa = 0.3;
  return std::clamp(state.gusts.sd_pa / gusty_pa, 0.0, 1.0);
}

double time_left_s(const EngineState& state) noexcept {
  const SequencerState& q = state.sequencer;
  const bool running = state.run_state == RunState::running;
  if (state.phase == Phase::learn_drive) return experiment_left_s(q.experiment);
  if (state.phase == Phase::hold || (state.phase == Phase::climb && !running)) return q.hold_left_s;
  if (q.averages.begin_ns == 0) return 0;
  return std::max(0.0, q.averages.planned_s - q.averages.elapsed_s);
}

void enter_phase(Scene& scene, Phase phase) noexcept {
  EngineState& s = scene.state;
  if (s.phase != phase)
    scene.events.push_back({EventKind::phase_changed, static_cast<std::int64_t>(phase),
                            static_cast<std::int64_t>(s.phase), 0, 0});
  s.phase = phase;
  s.target_pa = 0;
  s.countdown_s = 0;
  SequencerState& q = s.sequencer;
  q.phase_s = q.settled_s = q.saturated_s = q.step_s = 0;
  q.asked = false;
  q.paused = false;
  q.returns = false;
  q.fit_open = false;
  q.waiting = HandsWork::none;
  q.averages = Averages{};
  q.experiment = DriveExperimentState{};
  if (phase == Phase::prepare) open_checklist(scene, false);
  if (phase == Phase::restore) open_checklist(scene, true);
}

void end_by_hand(Scene& scene) noexcept {
  const bool restores = scene.state.sequencer.restore_due;
  scene.state.sequencer.restore_due = false;
  enter_phase(scene, restores ? Phase::restore : Phase::idle);
}

void end_run(Scene& scene, RunState ended) noexcept {
  EngineState& s = scene.state;
  withdraw_asks(scene);
  s.run_state = ended;
  s.presence = PresenceState{};
  scene.events.push_back({EventKind::run_ended, static_cast<std::int64_t>(ended), 0, 0, 0});
  if (ended == RunState::tripped) {
    enter_phase(scene, Phase::tripped);
  } else if (s.run.procedure.restore.empty()) {
    enter_phase(scene, s.result.computed ? Phase::result : Phase::idle);
  } else {
    enter_phase(scene, Phase::restore);
  }
}

Want sequencer_step(Scene& scene) noexcept {
  EngineState& s = scene.state;
  keep_time(scene);
  open_waiting(scene);
  mind_presence(scene);
  if (waited_in_vain(scene)) return {};
  if (s.sequencer.paused) return hands_at_fan(s) ? Want{} : paused_want(scene);
  const Want want = returning(scene, phase_want(scene));
  s.target_pa = want.drive ? want.target_pa : 0;
  if (hands_at_fan(s)) return {};
  return want;
}

}  // namespace leeward::control
