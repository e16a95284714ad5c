#include "control/procedure/phases.hpp"

#include <algorithm>
#include <cmath>

#include "control/analysis/analyse.hpp"
#include "control/analysis/diagnosis.hpp"
#include "control/analysis/gust_estimate.hpp"
#include "control/procedure/asks.hpp"
#include "control/procedure/averages.hpp"
#include "control/procedure/learn_drive.hpp"
#include "control/procedure/refit.hpp"

namespace leeward::control {
namespace {

constexpr double kRestTime = 3.0;      // s for the sensor to come to rest before a baseline
constexpr double kLongestRest = 60.0;  // s for the house ...
constexpr double kRestFrom = 60.0;     // Pa ... from as high as it was
constexpr double kPolytropic = 1.2;
constexpr double kFlexAllowance = 2.0;    // envelopes give way too: compliance over that of the air alone
constexpr double kOutOfBreath = 8.0;      // s at full demand below the target
constexpr double kStillRising = 1.0;      // Pa in that time
constexpr double kGustShare = 1.0;        // of the zero-flow unrest that the tolerance makes room for
constexpr double kLookRoundSettle = 2.0;  // s
constexpr double kClimbSettle = 1.0;      // s
constexpr double kCloserLook = 4.0;       // s

/// Time in which the pressure of a covered fan's house falls to nothing: its air flows out through the leaks
/// after the power law, which takes a finite time.
double rest_time_s(const EngineState& s) {
  const double n = exponent(s.house);
  if (s.house.informed_s <= 0 || s.volume_m3 <= 0 || n >= 0.95) return kRestTime;
  const double storage_m3_pa = kFlexAllowance * s.volume_m3 / (kPolytropic * 101325.0);
  const double empties_s = storage_m3_pa * std::pow(kRestFrom, 1 - n) / ((1 - n) * std::exp(ln_c(s.house)));
  return std::clamp(empties_s, kRestTime, kLongestRest);
}

/// Averages the zero-flow pressure once the fans are covered and all has come to rest.
/// @returns true in the tick that completes it
bool average_baseline(Scene& scene, Length length, double se_pa) {
  SequencerState& q = scene.state.sequencer;
  if (hands_at_fan(scene.state) || scene.state.followed_frac > kWheelAtRest) {
    q.phase_s = 0;
    return false;
  }
  if (q.phase_s < kRestTime || scene.state.still_s < rest_time_s(scene.state)) return false;
  if (q.averages.begin_ns == 0) begin_averages(scene);
  add_to_averages(scene);
  plan_baseline(scene, length, se_pa);
  return averaged_enough(scene);
}

Length baseline_length(const ProcedureSpec& p) { return {p.baseline_s, p.baseline_most_s}; }

void use_zero(Scene& scene, const BaselineRecord& baseline) {
  EngineState& s = scene.state;
  s.has_zero_flow = true;
  s.zero_flow_pa = baseline.mean_pa;
  s.zero_flow_sd_pa = baseline.sd_pa;
  s.gusts = gusts_in(baseline.blocks, baseline.sd_pa);
  // Covered and still, the fan-side sensor shows its own zero.
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    if (const ClampedZero zero = signal_zero(scene, i); zero.known) s.signal_zero_pa[i] = zero.zero_pa;
}

void finish_run(Scene& scene) {
  EngineState& s = scene.state;
  s.result = analyse(s.record);
  s.result.findings = diagnose(s.record, s.result);
  scene.events.push_back({EventKind::result_ready, s.result.valid ? 1 : 0, 0, 0, 0});
  end_run(scene, s.result.valid ? RunState::done : RunState::invalid);
}

/// A run that was taken up again, and lacks nothing but the zero-flow reading at the end of this direction.
bool all_stations_kept(const EngineState& s) {
  return static_cast<std::size_t>(s.sequencer.first_station) >= s.run.procedure.stations_pa.size();
}

double first_station_pa(const EngineState& s) {
  return s.run.procedure.stations_pa[static_cast<std::size_t>(s.sequencer.first_station)];
}

/// Longer than the climb to a pressure can take: gusts may keep it from ever settling.
bool waited_long(const Scene& scene, double target_pa) {
  const ProcedureSpec& p = scene.state.run.procedure;
  return scene.state.sequencer.phase_s > target_pa / p.climb_rate_pa_s + p.station_max_wait_s;
}

void turn_round_or_finish(Scene& scene) {
  EngineState& s = scene.state;
  if (s.run.direction != DirectionChoice::both || s.record.directions.full()) return finish_run(scene);
  const Direction other = opposite(s.direction);
  DirectionRecord record;
  record.direction = other;
  s.record.directions.push_back(record);
  s.sequencer.direction_index += 1;
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    open_ask(scene, {.kind = AskKind::turn_fan, .fan = static_cast<int>(i), .direction = other});
  s.house = for_other_direction(s.house);
  s.look_round_done = false;
  s.sequencer.first_station = 0;
  s.sequencer.fits = 0;
  s.sequencer.refit_asked = false;
  s.sequencer.verify = false;
  s.sequencer.reachable_pa = 0;
  s.sequencer.closer_look_pa = 0;
  enter_phase(scene, Phase::baseline);
}

}  // namespace

bool settled_for(Scene& scene, double target_pa, double tolerance_pa, double wanted_s) noexcept {
  SequencerState& q = scene.state.sequencer;
  const double room = std::max(tolerance_pa, kGustShare * scene.state.zero_flow_sd_pa);
  const bool there = std::abs(q.smooth_induced_pa - target_pa) <= room &&
                     std::abs(scene.sight.reference_pa - target_pa) < 0.01;
  q.settled_s = there ? q.settled_s + scene.sight.dt_s : 0;
  return there && q.settled_s >= wanted_s;
}

bool out_of_breath(Scene& scene, double target_pa) noexcept {
  SequencerState& q = scene.state.sequencer;
  const bool strained = scene.sight.demand_at_limit && q.smooth_induced_pa < target_pa;
  if (!strained || q.saturated_s <= 0) q.saturated_from_pa = q.smooth_induced_pa;
  q.saturated_s = strained ? q.saturated_s + scene.sight.dt_s : 0;
  if (q.saturated_s < kOutOfBreath) return false;
  // A large, tight house fills slowly: as long as the pressure rises, full demand has not shown all it can.
  if (q.smooth_induced_pa < q.saturated_from_pa + kStillRising + scene.state.zero_flow_sd_pa) return true;
  q.saturated_s = 0;
  return false;
}

Want step_prepare(Scene& scene) noexcept {
  if (any_open(scene.state)) return {};
  if (all_stations_kept(scene.state)) {
    enter_phase(scene, Phase::closing_baseline);
    return {};
  }
  enter_phase(scene, Phase::baseline);
  ask_at_rest(scene, HandsWork::cover);
  return {};
}

Want step_baseline(Scene& scene) noexcept {
  EngineState& s = scene.state;
  const bool manual = s.run_state != RunState::running;
  const Length length = manual ? Length{s.sequencer.hold_left_s, 0} : baseline_length(s.run.procedure);
  if (!average_baseline(scene, length, s.run.procedure.baseline_se_pa)) return {};
  const BaselineRecord taken = baseline_from(scene);
  use_zero(scene, taken);
  scene.events.push_back({EventKind::baseline_taken, 0, 0, taken.mean_pa, taken.mean_se_pa});
  if (manual && s.sequencer.learns_drive) {
    uncover_to_learn(scene);
    return {};
  }
  if (manual) {
    end_by_hand(scene);
    return {};
  }
  s.record.directions.back().before = taken;
  enter_phase(scene, Phase::uncover);
  ask_first_restriction(scene);
  for (std::size_t i = 0; i < scene.config.fans.size(); ++i)
    open_ask(scene, {.kind = AskKind::uncover_fan, .fan = static_cast<int>(i)});
  return {};
}

Want step_uncover(Scene& scene) noexcept {
  note_hands_at_fan(scene);
  if (hands_at_fan(scene.state)) return {};
  const bool learns =
      scene.config.learns_drive && !scene.state.drive.known && !scene.state.sequencer.learnt_drive;
  enter_phase(scene, learns ? Phase::learn_drive : Phase::look_round);
  return {};
}

Want step_look_round(Scene& scene) noexcept {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  const ProcedureSpec& p = s.run.procedure;
  const Want want{true, p.look_round_pa, p.climb_rate_pa_s};
  if (hands_at_fan(s)) {
    note_hands_at_fan(scene);
    return want;
  }
  verify_fit(scene);
  const bool there = settled_for(scene, p.look_round_pa, p.station_tolerance_pa, kLookRoundSettle);
  const bool breathless = out_of_breath(scene, p.look_round_pa);
  const bool weak = breathless || waited_long(scene, p.look_round_pa);
  const RefitCause cause = breathless ? RefitCause::fitted_fails : RefitCause::first_look;
  if (weak && !q.asked && refit_if_better(scene, cause)) return want;
  if (!q.asked && (there || weak)) {
    q.asked = true;
    if (s.run.attended && !s.look_round_done) open_ask(scene, {.kind = AskKind::look_round});
  }
  const bool answered = q.asked && !any_open(s, AskKind::look_round);
  if (!answered || q.phase_s < p.look_round_min_s || !(there || weak)) return want;
  s.look_round_done = true;
  if (refit_if_better(scene, cause)) return want;
  enter_phase(scene, Phase::climb);
  return want;
}

Want step_climb(Scene& scene) noexcept {
  EngineState& s = scene.state;
  SequencerState& q = s.sequencer;
  if (s.run_state != RunState::running) return step_hold(scene);
  const ProcedureSpec& p = s.run.procedure;
  const bool looks_closer = q.closer_look_pa > 0;
  const Want want{true, looks_closer ? q.closer_look_pa : first_station_pa(s), p.climb_rate_pa_s};
  if (hands_at_fan(s)) {
    note_hands_at_fan(scene);
    return want;
  }
  verify_fit(scene);
  const bool breathless = out_of_breath(scene, want.target_pa);
  const bool weak = breathless || waited_long(scene, want.target_pa);
  if (weak && refit_if_better(scene, breathless ? RefitCause::fitted_fails : RefitCause::planned))
    return want;
  if (looks_closer) {
    if (!weak && !settled_for(scene, want.target_pa, p.station_tolerance_pa, kCloserLook)) return want;
    q.closer_look_pa = q.settled_s = 0;
    (void)refit_if_better(scene, RefitCause::planned);
    return want;
  }
  if (weak || settled_for(scene, want.target_pa, p.station_tolerance_pa, kClimbSettle)) {
    enter_phase(scene, Phase::stations);
    q.station = q.first_station;
    q.step = StationStep::travel;
    scene.events.push_back({EventKind::station_begun, q.station, 0, want.target_pa, 0});
  }
  return want;
}

Want step_closing_baseline(Scene& scene) noexcept {
  EngineState& s = scene.state;
  const ProcedureSpec& p = s.run.procedure;
  if (!s.sequencer.asked) {
    s.sequencer.asked = true;
    if (p.baseline_after || s.run.direction == DirectionChoice::both) ask_at_rest(scene, HandsWork::cover);
  }
  if (p.baseline_after) {
    if (!average_baseline(scene, baseline_length(p), p.baseline_se_pa)) return {};
    const BaselineRecord taken = baseline_from(scene);
    s.record.directions.back().after = taken;
    scene.events.push_back({EventKind::baseline_taken, 1, 0, taken.mean_pa, taken.mean_se_pa});
  } else if (hands_at_fan(s)) {
    return {};
  }
  turn_round_or_finish(scene);
  return {};
}

Want step_restore(Scene& scene) noexcept {
  if (!any_open(scene.state)) enter_phase(scene, scene.state.result.computed ? Phase::result : Phase::idle);
  return {};
}

Want step_hold(Scene& scene) noexcept {
  EngineState& s = scene.state;
  const Want want{true, s.target_pa, s.sequencer.hold_rate_pa_s, s.sequencer.kept_frac};
  s.sequencer.hold_left_s -= scene.sight.dt_s;
  if (s.sequencer.hold_left_s > 0) return want;
  scene.events.push_back({EventKind::hold_ended, 1, 0, 0, 0});
  end_by_hand(scene);
  return {};
}

}  // namespace leeward::control
