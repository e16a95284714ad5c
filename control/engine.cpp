#include "control/engine.hpp"

#include <algorithm>
#include <cmath>

#include "control/perception.hpp"
#include "control/plant_watch.hpp"
#include "control/procedure/asks.hpp"
#include "control/procedure/requests.hpp"
#include "control/procedure/sequencer.hpp"
#include "control/seconds_between.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kLongestStep = 2.0;  // s: a longer gap is not integrated over
constexpr double kLongestGap = 1.0;   // s that the fan may be driven without a look ...
constexpr double kGapPeriods = 2.5;   // ... or so many periods of a slow sensor
// What a fan can make is known from its curve to a factor, a guessed curve included (common practice, no
// source).
constexpr double kMostPressureRoom = 2.0;
constexpr double kHouseKnown = 10;    // s of usable readings
constexpr double kBlows = 5.0;        // Pa of the fan-side signal
constexpr double kStands = 1.0;       // Pa: a gauge's noise and the draught through a wheel at rest
constexpr double kSurelyTurns = 0.2;  // of full speed, by the slowest drive
constexpr double kAirMoves = 2.0;     // Pa of the fan-side signal, well above its noise

/// Time since the last tick; 0 on the first one, and where time did not go on.
double step_time(EngineState& s, const Sample& sample) {
  const double dt = s.started ? seconds_between(s.now_ns, sample.stamp_ns) : 0.0;
  if (!s.started || dt > 0) s.now_ns = sample.stamp_ns;
  s.started = true;
  return std::max(0.0, dt);
}

// The slowest drive that is met: what it follows, every drive has followed (common practice, no source).
constexpr double kSlowestSlew = 9.0;  // s from 0 to full speed
constexpr double kSlowestLag = 2.5;   // s

/// What the drive has made of the demand so far, by its nominal slew and lag; and what even the slowest
/// has made of it.
void follow_drive(const RegulatorSpec& drive, EngineState& s, double dt) {
  const double most = dt / drive.drive_slew_s;
  s.slewed_frac += std::clamp(s.applied_frac - s.slewed_frac, -most, most);
  s.followed_frac = lag_step(s.followed_frac, s.slewed_frac, dt, drive.drive_lag_s);
  s.still_s = s.followed_frac < kWheelAtRest ? s.still_s + dt : 0;
  s.sure_slewed_frac = std::min(s.applied_frac, s.sure_slewed_frac + dt / kSlowestSlew);
  s.sure_frac = std::min(s.followed_frac, lag_step(s.sure_frac, s.sure_slewed_frac, dt, kSlowestLag));
}

/// The most that the fan can have pushed, either way, against a shut house: at the speed told, which a quick
/// drive has at once, or where its own signal shows no air, at the speed of a nominal drive.
double most_pressure_pa(const FanCurve& curve, const EngineState& s, const GuardInput& in) {
  const bool moves_air = !in.signal_good || in.signal_pa > kAirMoves;
  const double speed = moves_air ? std::max(s.applied_frac, s.followed_frac) : s.followed_frac;
  return kMostPressureRoom * std::max(0.0, curve.rise_pa(speed, 0.0));
}

/// What the house that has been learnt takes to pass a flow, at the low end of what is plausible.
double house_pressure_pa(const HouseCurve& house, double flow_m3_s, double near_pa) {
  if (house.informed_s < kHouseKnown || !(flow_m3_s > 0)) return 0;
  const double n = exponent(house);
  const double pa = std::exp((std::log(flow_m3_s) - ln_c(house)) / n);
  const double low = std::exp(-2 * flow_relative_u_at(house, std::max(near_pa, pa)) / n);
  return std::isfinite(pa) ? pa * low : 0;
}

void see_what_is_made(const EngineConfig& config, const FanCurve& curve, const EngineState& s,
                      const Perception& seen, GuardInput& in) {
  const RestrictionSpec& fitted = config.fans[0].restrictions[static_cast<std::size_t>(s.fans[0].fitted)];
  const double flow = seen.flow_m3_s[0];
  const double least = least_pressure_pa(s.fan_map, curve, fitted, flow, s.sure_frac);
  in.response.stands = in.signal_pa < kStands;
  in.response.blows = in.signal_pa > kBlows && s.sure_frac > kSurelyTurns;
  // The zero-flow pressure stands against the fan before any of what it makes is induced; what stands with it
  // is not counted on.
  const double against = std::max(0.0, along(s.direction, s.zero_flow_pa));
  in.response.sure_pa = std::max(0.0, least - against);
  in.response.house_pa = house_pressure_pa(s.house, seen.sight.total_flow_m3_s, s.induced_pa);
  // An experiment with the drive is there because it is not known how quick it is.
  if (s.phase == Phase::learn_drive) return;
  const double likely = least_pressure_pa(s.fan_map, curve, fitted, flow, s.followed_frac);
  in.response.likely_pa = std::max(0.0, likely - against);
  const double most = least_pressure_pa(s.fan_map, curve, fitted, flow, s.followed_frac, -2.0);
  in.response.most_pa = std::max(0.0, most - against);
}

GuardInput guard_input(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves,
                       const EngineState& s, const Sample& sample, const Perception& seen) {
  GuardInput in;
  in.now_ns = s.now_ns;
  in.gap_limit_s = std::max(kLongestGap, kGapPeriods / config.sample_hz);
  in.refused = sample.device == DeviceStatus::bad_answer;
  in.dt_s = seen.sight.dt_s;
  in.out_of_turn = sample.out_of_turn;
  in.pressure_good = seen.sight.fresh;
  in.pressure_signed_pa = seen.sight.pressure_signed_pa;
  in.pressure_age_s = seen.pressure_age_s;
  in.pressure_frozen = seen.pressure_frozen;
  in.pressure_saturated = seen.pressure_saturated;
  in.has_zero_flow = s.has_zero_flow;
  in.induced_pa = s.induced_pa;
  in.zero_flow_sd_pa = s.zero_flow_sd_pa;
  in.signal_good = seen.sight.flow_good;
  in.signal_needed = s.run_state == RunState::running;
  in.reading_needed = in.signal_needed && (s.phase == Phase::baseline || s.phase == Phase::closing_baseline);
  in.late_ticks = sample.late_ticks;
  in.silent_s = s.presence.silent_s;
  if (keeps_low(s.presence)) in.silent_limit_s = silence_allowed_s(s.presence, s.run.presence_s);
  in.last_applied_frac = s.applied_frac;
  for (std::size_t i = 0; i < config.fans.size(); ++i)
    in.signal_pa = std::max(in.signal_pa, seen.sight.signal_pa[i]);
  in.most_pressure_pa = most_pressure_pa(curves[0], s, in);
  in.response = {.dt_s = seen.sight.dt_s,
                 .reading_pa = along(s.direction, seen.sight.pressure_signed_pa),
                 .induced_pa = s.induced_pa,
                 .unrest_pa = s.zero_flow_sd_pa,
                 .gust_pa = std::max(s.zero_flow_sd_pa, s.gusts.sd_pa),
                 .gust_time_s = s.gusts.time_s};
  if (seen.sight.flow_good && !s.fans[0].covered) see_what_is_made(config, curves[0], s, seen, in);
  return in;
}

RegulatorInput regulator_input(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves,
                               const EngineState& s, const Perception& seen, const Want& want) {
  RegulatorInput in;
  in.dt_s = seen.sight.dt_s;
  in.drive = want.drive;
  in.target_pa = want.target_pa;
  in.rate_pa_s = want.rate_pa_s;
  in.keep_frac = want.keep_frac;
  in.fresh = seen.sight.fresh;
  in.stamp_ns = s.now_ns;
  in.measured_pa = s.induced_pa;
  in.swings = s.guard.swings;
  in.last_applied_frac = s.applied_frac;
  in.min_demand_frac = config.fans[0].min_demand_frac;
  in.max_demand_frac = std::min(config.limits.demand_max_frac, config.fans[0].max_demand_frac);
  in.fans = static_cast<int>(config.fans.size());
  in.volume_m3 = s.volume_m3;
  in.house = &s.house;
  in.fan_map = &s.fan_map;
  in.curve = &curves[0];
  in.restriction = &config.fans[0].restrictions[static_cast<std::size_t>(s.fans[0].fitted)];
  return in;
}

void take_requests(Scene& scene, std::span<const Request> requests, StepOutput& out) {
  const std::size_t count = std::min(requests.size(), kMaxRequestsPerTick);
  for (std::size_t i = 0; i < count; ++i) {
    const Refusal refusal = take_request(scene, requests[i]);
    out.refusals.push_back(refusal);
    if (refusal != Refusal::accepted)
      out.events.push_back({EventKind::request_refused, static_cast<std::int64_t>(requests[i].kind),
                            static_cast<std::int64_t>(refusal), 0, 0});
  }
}

/// A trip ends whatever went on; wind beyond the ceiling ends it without a trip.
void act_on_guard(Scene& scene, const GuardOutput& allowed) {
  EngineState& s = scene.state;
  if (allowed.limited_by == LimitedBy::ceiling && s.limited_by != LimitedBy::ceiling)
    scene.events.push_back({EventKind::limited, static_cast<std::int64_t>(allowed.limited_by), 0,
                            scene.sight.pressure_signed_pa, 0});
  s.limited_by = allowed.limited_by;
  if (allowed.tripped_now) {
    const Trip& trip = s.guard.trip;
    scene.events.push_back({EventKind::tripped, static_cast<std::int64_t>(trip.cause),
                            static_cast<std::int64_t>(trip.mode), trip.seen, trip.limit});
    if (s.run_state == RunState::running)
      end_run(scene, RunState::tripped);
    else
      enter_phase(scene, Phase::tripped);
  } else if (allowed.too_windy && s.phase != Phase::restore) {
    scene.events.push_back({EventKind::too_windy, 0, 0, scene.sight.pressure_signed_pa, 0});
    if (s.run_state == RunState::running)
      end_run(scene, RunState::invalid);
    else
      end_by_hand(scene);
  }
}

/// The loader has refused a rig without fans, and fans without restrictions or with a broken curve.
FanCurve curve_of(const EngineConfig& config, std::size_t fan) {
  return *curve_or_guess(config.fans[std::min(fan, config.fans.size() - 1)]);
}

Trace trace_of(const EngineConfig& config, const EngineState& s, const Perception& seen,
               const RegulatorOutput& reg, const GuardOutput& allowed) {
  Trace t;
  t.stamp_ns = s.now_ns;
  t.phase = s.phase;
  t.direction = s.direction;
  t.pressure_good = seen.pressure_good;
  t.pressure_signed_pa = seen.sight.pressure_signed_pa;
  t.zero_flow_pa = s.zero_flow_pa;
  t.has_zero_flow = s.has_zero_flow;
  t.induced_pa = s.induced_pa;
  t.target_pa = s.target_pa;
  t.reference_pa = reg.reference_pa;
  t.error_pa = reg.error_pa;
  t.feedforward_frac = reg.feedforward_frac;
  t.p_frac = reg.p_frac;
  t.i_frac = reg.i_frac;
  t.d_frac = reg.d_frac;
  t.unlimited_frac = reg.unlimited_frac;
  t.demand_frac = allowed.demand_frac;
  t.limited_by = allowed.limited_by != LimitedBy::nothing ? allowed.limited_by : reg.limited_by;
  if (hands_at_fan(s)) t.limited_by = LimitedBy::hands_at_fan;
  t.gain_frac_per_pa = reg.gain_frac_per_pa;
  t.integral_time_s = reg.integral_time_s;
  for (std::size_t i = 0; i < config.fans.size(); ++i) {
    t.flow_m3_s[i] = seen.flow_m3_s[i];
    t.signal_pa[i] = seen.sight.signal_pa[i];
  }
  t.total_flow_m3_s = seen.sight.total_flow_m3_s;
  t.ln_c = ln_c(s.house);
  t.n = exponent(s.house);
  t.ln_c_u = std::sqrt(std::max(0.0, s.house.pair.var_a));
  t.n_u = std::sqrt(std::max(0.0, s.house.pair.var_b));
  t.demand_offset_frac = s.fan_map.pair.a;
  t.demand_scale = s.fan_map.pair.b;
  t.countdown_s = s.countdown_s;
  t.phase_left_s = time_left_s(s);
  t.trip = s.guard.trip.cause;
  return t;
}

}  // namespace

Engine::Engine(const EngineConfig& config)
    : config_(config),
      curves_{curve_of(config, 0), curve_of(config, 1), curve_of(config, 2), curve_of(config, 3)} {}

EngineState Engine::initial_state() const {
  EngineState s;
  for (std::size_t i = 0; i < config_.fans.size(); ++i) s.fans[i].fitted = config_.fans[i].fitted;
  s.house = house_prior(0);
  s.fan_map = fan_map_prior(!config_.fans[0].curve.empty());
  return s;
}

StepOutput Engine::step(EngineState& s, const Sample& sample,
                        std::span<const Request> requests) const noexcept {
  StepOutput out;
  const double gap = step_time(s, sample);
  const double dt = std::min(gap, kLongestStep);
  const RegulatorSpec regulator = regulator_told(config_.regulator, s.drive);
  follow_drive(regulator, s, dt);
  if (sample.skipped > 0) out.events.push_back({EventKind::sample_gap, sample.skipped, 0, 0, 0});
  if (sample.late_ticks > 0) out.events.push_back({EventKind::tick_late, sample.late_ticks, 0, 0, 0});

  const Perception seen = perceive(config_, s, sample, dt, out.events);
  learn_from(config_, curves_, s, seen);
  watch_plant(config_, curves_, s, seen);
  Scene scene{config_, curves_, s, seen.sight, out.events};
  take_requests(scene, requests, out);
  const Want want = s.guard.trip.active() ? Want{} : sequencer_step(scene);

  const RegulatorOutput reg =
      supervisor_step(regulator, s.regulator, regulator_input(config_, curves_, s, seen, want),
                      plant_model(config_, curves_, s), s.plant);
  GuardInput in = guard_input(config_, curves_, s, sample, seen);
  in.gap_s = gap;
  in.drive = want.drive;
  in.response.applies = want.drive && in.has_zero_flow;
  in.response.fresh = in.pressure_good;
  in.signal_needed = in.signal_needed || want.drive;
  in.demand_frac = reg.demand_frac;
  const GuardOutput allowed = guard_step(config_.limits, s.guard, in);
  act_on_guard(scene, allowed);

  s.applied_frac = allowed.demand_frac;
  if (seen.sight.fresh || !want.drive) s.demand_at_limit = reg.limited_by == LimitedBy::demand_max;
  for (std::size_t i = 0; i < config_.fans.size(); ++i)
    out.command.fans[i] = {allowed.drive ? Drive::drive : Drive::off, allowed.demand_frac};
  out.trace = trace_of(config_, s, seen, reg, allowed);
  return out;
}

}  // namespace leeward::control
