#include "control/regulate/amigo.hpp"

namespace leeward::control {
namespace {

/// A plant that is mostly delay takes the whole step of the set-point, one that is mostly lag none of it.
double weight_of(double delay, double tau) { return delay <= tau ? 0.0 : 1.0; }

}  // namespace

IsaGains amigo_pi(const LagModel& model) noexcept {
  const double l = model.delay_s;
  const double t = model.tau_s;
  const double sum = l + t;
  IsaGains out;
  out.kc = 0.15 / model.gain + (0.35 - l * t / (sum * sum)) * t / (model.gain * l);
  out.ti_s = 0.35 * l + 13.0 * l * t * t / (t * t + 12.0 * l * t + 7.0 * l * l);
  out.setpoint_weight = weight_of(l, t);
  return out;
}

IsaGains amigo_pid(const LagModel& model) noexcept {
  const double l = model.delay_s;
  const double t = model.tau_s;
  IsaGains out;
  out.kc = (0.2 + 0.45 * t / l) / model.gain;
  out.ti_s = l * (0.4 * l + 0.8 * t) / (l + 0.1 * t);
  out.td_s = 0.5 * l * t / (0.3 * l + t);
  out.setpoint_weight = weight_of(l, t);
  return out;
}

IsaGains amigo_pi_integrating(double slope, double delay_s) noexcept {
  return {.kc = 0.35 / (slope * delay_s), .ti_s = 13.4 * delay_s, .setpoint_weight = 0};
}

IsaGains amigo_pid_integrating(double slope, double delay_s) noexcept {
  return {.kc = 0.45 / (slope * delay_s), .ti_s = 8.0 * delay_s, .td_s = 0.5 * delay_s, .setpoint_weight = 0};
}

}  // namespace leeward::control
