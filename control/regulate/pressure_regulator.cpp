#include "control/regulate/pressure_regulator.hpp"

#include <algorithm>
#include <cmath>

#include "control/regulate/carried_gains.hpp"
#include "control/regulate/demand_limits.hpp"
#include "control/regulate/operating_point.hpp"
#include "control/regulate/simc.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kSamplingDelay = 0.15;  // s: one sample to act, half a sample of age
constexpr double kLeadShare =
    0.8;  // of the lags that the feed-forward leads by: the drive is not known exactly
constexpr double kLongestLead = 4.0;      // s
constexpr double kWaitForPressure = 8.0;  // Pa by which the reference may run ahead of the pressure
// Pa/s that the reference gives up in one lag of drive and house: a slow house can't be braked.
constexpr double kLanding = 0.6;

PlantView view_of(const RegulatorInput& in) {
  return {*in.house, *in.fan_map, *in.curve, *in.restriction, in.fans, in.volume_m3};
}

/// Gains by the SIMC rule for the drive's and the zone's lag in series.
PidTuning tuning_at(const RegulatorSpec& spec, const PlantView& plant, double pressure_pa,
                    double max_demand) {
  const double zone = zone_time_s(plant, pressure_pa);
  const double slow = std::max(spec.drive_lag_s, zone);
  const double fast = std::min(spec.drive_lag_s, zone);
  const double delay = kSamplingDelay + spec.sensor_lag_s + 0.5 * fast;
  const LagModel model{
      .gain = plant_gain_pa(plant, pressure_pa, max_demand), .tau_s = slow + 0.5 * fast, .delay_s = delay};
  const SimcGains gains = simc_gains(model, std::max(spec.closed_loop_s, delay));
  PidTuning tuning;
  tuning.kc = gains.kc;
  tuning.ti_s = gains.ti_s;
  tuning.td_s = spec.derivative_s;
  tuning.derivative_n = spec.derivative_filter_n;
  tuning.setpoint_weight = spec.setpoint_weight;
  return tuning;
}

/// The rule's gains, or those that were found on the rig.
PidTuning gains_at(const RegulatorSpec& spec, const PlantView& plant, double pressure_pa, double max_demand) {
  const PidTuning rule = tuning_at(spec, plant, pressure_pa, max_demand);
  if (!has_tuned_gains(spec)) return rule;
  return carried_gains(spec, tuning_at(spec, plant, spec.tuned_pa, max_demand), rule);
}

void start(RegulatorState& s, const RegulatorInput& in) {
  s.active = true;
  const double from = std::max(0.0, in.measured_pa);
  s.reference = reference_at(from);
  s.expected_pa = from;
  s.last_lead_pa = 0;
  s.last_feedforward = 0;
}

/// Moves the reference on, unless the pressure has fallen too far behind it.
double move_reference(const RegulatorSpec& spec, const PlantView& plant, RegulatorState& s,
                      const RegulatorInput& in) {
  const double before = s.reference.value_pa;
  const double behind = std::abs(before - in.measured_pa) - std::abs(before - s.expected_pa);
  const bool away = (in.target_pa - before) * (before - in.measured_pa) > 0;
  if (away && behind > kWaitForPressure) return 0;
  const double slow = spec.drive_lag_s + zone_time_s(plant, before);
  const double landing = kLanding / std::max(1.0, slow);
  const double rate = in.rate_pa_s > 0 ? in.rate_pa_s : spec.travel_rate_pa_s;
  s.reference = reference_step(s.reference, in.target_pa, rate, landing, in.dt_s);
  return in.dt_s > 0 ? (s.reference.value_pa - before) / in.dt_s : 0;
}

/// What the curves have learnt since the last tick changes the feed-forward; the integral takes the
/// change back, so that learning alone never moves the fan.
PidState absorb_learning(const RegulatorState& s, const RegulatorInput& in, const PlantView& plant) {
  PidState pid = pid_applied(s.pid, in.last_applied_frac);
  if (s.last_lead_pa > 0)
    pid.integral += s.last_feedforward - feedforward_frac(plant, s.last_lead_pa, in.max_demand_frac);
  return pid;
}

/// While a pressure is wanted the fan is never let stop: below its least demand it stays there.
DemandLimits limits_of(const RegulatorSpec& spec, const RegulatorInput& in) {
  return {.start_frac = in.min_demand_frac,
          .stop_below_frac = 0,
          .max_frac = in.max_demand_frac,
          .up_per_s = spec.demand_slew_per_s,
          .down_per_s = 2.0 * spec.demand_slew_per_s};
}

PidTuning limited_to(PidTuning tuning, const RegulatorInput& in) {
  tuning.out_min = in.min_demand_frac;
  tuning.out_max = in.max_demand_frac;
  return tuning;
}

/// Moves to the demand that is kept, no faster than any other; the controller starts afresh after it.
RegulatorOutput kept(const RegulatorSpec& spec, const RegulatorState& s, const RegulatorInput& in) {
  RegulatorOutput out;
  out.reference_pa = s.reference.value_pa;
  out.error_pa = s.expected_pa - in.measured_pa;
  out.unlimited_frac = in.keep_frac;
  const double wanted = std::clamp(in.keep_frac, in.min_demand_frac, in.max_demand_frac);
  const DemandOutput demand =
      demand_step(limits_of(spec, in), {in.last_applied_frac, in.last_applied_frac > 0}, wanted, in.dt_s);
  out.demand_frac = std::max(demand.demand_frac, in.min_demand_frac);
  out.limited_by = demand.limited_by;
  return out;
}

}  // namespace

RegulatorOutput regulator_step(const RegulatorSpec& spec, RegulatorState& s,
                               const RegulatorInput& in) noexcept {
  RegulatorOutput out;
  if (!in.drive) {
    s = RegulatorState{};
    return out;
  }
  const bool starting = !s.active;
  if (starting) start(s, in);
  const PlantView plant = view_of(in);
  const double rate = move_reference(spec, plant, s, in);
  const double sensor_lag = kSamplingDelay + spec.sensor_lag_s;
  s.expected_pa = lag_step(s.expected_pa, s.reference.value_pa, in.dt_s, sensor_lag);
  const double lead =
      std::min(kLongestLead, kLeadShare * (spec.drive_lag_s + zone_time_s(plant, s.reference.value_pa)));
  const double lead_pa = s.reference.value_pa + lead * rate;
  const double feedforward = feedforward_frac(plant, lead_pa, in.max_demand_frac);

  const PidTuning tuning = gains_at(spec, plant, s.reference.value_pa, in.max_demand_frac);
  const PidInput pid_in{s.expected_pa, in.measured_pa, feedforward, in.stamp_ns};
  if (starting || s.keeping)
    s.pid = pid_start(tuning, pid_in, std::max(in.last_applied_frac, in.min_demand_frac));
  else
    s.pid = pid_retune(absorb_learning(s, in, plant), s.tuning, tuning, pid_in);
  s.tuning = tuning;
  s.keeping = in.keep_frac > 0;
  if (s.keeping) return kept(spec, s, in);
  const PidOutput pid = in.fresh ? pid_step(limited_to(tuning, in), s.pid, pid_in) : pid_hold(s.pid);
  s.pid = pid.next;
  s.last_lead_pa = lead_pa;
  s.last_feedforward = feedforward;

  out.reference_pa = s.reference.value_pa;
  out.error_pa = s.expected_pa - in.measured_pa;
  out.feedforward_frac = feedforward;
  out.p_frac = pid.why.p;
  out.i_frac = pid.why.i;
  out.d_frac = pid.why.d;
  out.unlimited_frac = pid.why.unlimited;
  out.gain_frac_per_pa = tuning.kc;
  out.integral_time_s = tuning.ti_s;
  if (pid.why.at_max) out.limited_by = LimitedBy::demand_max;
  if (pid.why.at_min) out.limited_by = LimitedBy::demand_min;
  const DemandOutput demand =
      demand_step(limits_of(spec, in), {in.last_applied_frac, in.last_applied_frac > 0}, pid.u, in.dt_s);
  out.demand_frac = std::max(demand.demand_frac, in.min_demand_frac);
  if (out.limited_by == LimitedBy::nothing) out.limited_by = demand.limited_by;
  return out;
}

}  // namespace leeward::control
