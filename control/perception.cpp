#include "control/perception.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kSignalU = 0.15;        // Pa, of one fan-side reading after its zero is taken off
constexpr double kLeastSignal = 0.1;     // Pa, below it only that it is small is known
constexpr double kCoarsest = 0.45;       // relative uncertainty of a flow known only to be small
constexpr double kPressureU = 0.2;       // Pa, of one building-pressure reading
constexpr double kSignalRate = 400;      // Pa/s, of a fan that goes from rest to full speed in a second ...
constexpr double kSignalJump = 20;       // Pa ... and of what a gust or a hand at the fan does at once
constexpr double kMovingDemand = 0.03;   // change of speed that must move the pressure
constexpr double kPolytropic = 1.2;      // of the air in the zone, between isothermal and adiabatic
constexpr double kFlexAllowance = 3.0;   // envelopes give way too: compliance over that of the air alone
constexpr double kSteadyRate = 0.8;      // Pa/s, for learning the fan
constexpr double kSteadyDemand = 0.02;   // between demand and what the drive has followed so far
constexpr double kRateSmoothTime = 1.0;  // s

/// An extra tick carries no readings; what stands there all the same is looked at by nobody. Else the screen
/// would take in a pressure that the guard never sees as fresh.
Reading carried(const Sample& sample, const Reading& reading) {
  return sample.out_of_turn ? Reading{} : reading;
}

ScreenTuning pressure_tuning(const EngineConfig& c) {
  return {.low = -c.limits.sensor_range_pa,
          .high = c.limits.sensor_range_pa,
          .missing_s = c.limits.missing_sample_s,
          .frozen_s = c.limits.frozen_s,
          .max_rate_per_s = 4.0 * c.limits.pressure_rate_max_pa_s};
}

ScreenTuning signal_tuning(const EngineConfig& c) {
  return {.low = -c.limits.sensor_range_pa,
          .high = 10.0 * c.limits.sensor_range_pa,
          .missing_s = c.limits.missing_sample_s,
          .frozen_s = c.limits.frozen_s,
          .max_rate_per_s = kSignalRate,
          .least_jump = kSignalJump};
}

void report_sensor(EngineState& s, Events& events, std::int32_t channel, bool good, Quality quality) {
  const std::int32_t bit = 1 << channel;
  const bool lost = (s.sensors_lost & bit) != 0;
  if (good && lost) events.push_back({EventKind::sensor_back, channel, 0, 0, 0});
  if (!good && !lost)
    events.push_back({EventKind::sensor_lost, channel, static_cast<std::int64_t>(quality), 0, 0});
  s.sensors_lost = good ? s.sensors_lost & ~bit : s.sensors_lost | bit;
}

void perceive_flows(const EngineConfig& config, EngineState& s, const Sample& sample, Perception& p,
                    Events& events) {
  p.sight.flow_good = true;
  for (std::size_t i = 0; i < config.fans.size(); ++i) {
    const ScreenOutput out = screen_step(signal_tuning(config), s.signal_screens[i],
                                         carried(sample, sample.fans[i].signal_pa), sample.stamp_ns, false);
    report_sensor(s, events, static_cast<std::int32_t>(i) + 1, out.usable, out.quality);
    p.sight.flow_good = p.sight.flow_good && out.usable;
    p.sight.signal_pa[i] = out.value - s.signal_zero_pa[i];
    const RestrictionSpec& fitted = config.fans[i].restrictions[static_cast<std::size_t>(s.fans[i].fitted)];
    p.flow_m3_s[i] = s.fans[i].covered ? 0.0 : flow_m3_s(fitted, p.sight.signal_pa[i]);
    p.sight.total_flow_m3_s += p.flow_m3_s[i];
    // A signal lost in the sensor's noise still says that the flow is small.
    const double least_signal = std::max(p.sight.signal_pa[i], kLeastSignal);
    p.estimate_m3_s += s.fans[i].covered ? 0.0 : flow_m3_s(fitted, least_signal);
    const double relative = fitted.m * kSignalU / least_signal;
    p.sight.flow_relative_u = std::max(p.sight.flow_relative_u, std::min(kCoarsest, relative));
  }
}

/// Size of the flow that compresses the zone's air while the pressure moves.
double storage_flow(const EngineState& s) {
  const double volume = s.volume_m3 > 0 ? s.volume_m3 : 1000.0;
  return kFlexAllowance * volume / (kPolytropic * 101325.0) * std::abs(s.pressure_rate_pa_s);
}

}  // namespace

Perception perceive(const EngineConfig& config, EngineState& s, const Sample& sample, double dt_s,
                    Events& events) noexcept {
  Perception p;
  p.sight.dt_s = dt_s;
  p.sight.demand_frac = s.applied_frac;
  p.sight.demand_at_limit = s.demand_at_limit;
  p.sight.reference_pa = s.regulator.plain.reference.value_pa;
  const bool moving = std::abs(s.followed_frac - s.standstill_frac) > kMovingDemand;
  const ScreenOutput out = screen_step(pressure_tuning(config), s.pressure_screen,
                                       carried(sample, sample.building_pressure_pa), sample.stamp_ns, moving);
  if (s.pressure_screen.same_count == 0) s.standstill_frac = s.followed_frac;
  report_sensor(s, events, 0, out.usable, out.quality);
  p.pressure_good = out.usable;
  p.pressure_age_s = out.age_s;
  p.pressure_frozen = out.frozen;
  p.pressure_saturated = out.saturated;
  p.sight.fresh = out.fresh;
  p.sight.pressure_signed_pa = out.value;
  p.sight.induced_pa = along(s.direction, out.value - (s.has_zero_flow ? s.zero_flow_pa : 0.0));
  if (p.sight.fresh && dt_s > 0) {
    const double rate = (p.sight.induced_pa - s.induced_pa) / dt_s;
    s.pressure_rate_pa_s = lag_step(s.pressure_rate_pa_s, rate, dt_s, kRateSmoothTime);
  }
  if (p.sight.fresh) s.induced_pa = p.sight.induced_pa;
  perceive_flows(config, s, sample, p, events);
  return p;
}

void learn_from(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves, EngineState& s,
                const Perception& seen) noexcept {
  const Sight& sight = seen.sight;
  const bool running = s.applied_frac > config.fans[0].min_demand_frac;
  if (!running || !sight.fresh || !sight.flow_good || !s.has_zero_flow) return;
  const double unrest = std::max(kPressureU, s.zero_flow_sd_pa);
  s.house = learn(s.house, {.dt_s = sight.dt_s,
                            .pressure_pa = sight.induced_pa,
                            .pressure_u_pa = unrest,
                            .flow_m3_s = seen.estimate_m3_s,
                            .flow_relative_u = sight.flow_relative_u,
                            .storage_flow_m3_s = storage_flow(s)});
  const bool steady = std::abs(s.pressure_rate_pa_s) < kSteadyRate + unrest &&
                      std::abs(s.applied_frac - s.followed_frac) < kSteadyDemand;
  if (!steady) return;
  const RestrictionSpec& fitted = config.fans[0].restrictions[static_cast<std::size_t>(s.fans[0].fitted)];
  // A pressure error moves the speed that the curve asks for by half as much, relatively.
  const double demand_u = 0.02 + 0.5 * s.applied_frac * unrest / std::max(5.0, sight.induced_pa);
  s.fan_map = learn(s.fan_map, curves[0], fitted, sight.dt_s, seen.flow_m3_s[0], sight.induced_pa,
                    s.followed_frac, demand_u);
}

}  // namespace leeward::control
