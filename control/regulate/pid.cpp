#include "control/regulate/pid.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

double tracking_time(const PidTuning& t) {
  if (t.tt_s > 0) return t.tt_s;
  return t.td_s > 0 ? std::sqrt(t.ti_s * t.td_s) : t.ti_s;
}

/// Part of the excess over a limit that the integral gives back in a step of h. Without integral action
/// there is nothing to give back: a bias that was started with stays.
double tracking_of(const PidTuning& t, double h) {
  return std::isfinite(t.ti_s) ? std::min(1.0, h / tracking_time(t)) : 0.0;
}

double proportional(const PidTuning& t, const PidInput& in) { return t.kc * (t.setpoint_weight * in.r - in.y); }

PidOutput held(const PidState& state, bool keep_y) {
  PidOutput out;
  out.u = state.output;
  out.next = state;
  out.next.tracking = 0;
  if (!keep_y) out.next.has_y = false;
  out.why.i = state.integral;
  out.why.unlimited = state.output;
  out.why.held = true;
  return out;
}

double next_derivative(const PidTuning& t, const PidState& s, double y, double h) {
  if (!(t.td_s > 0) || !s.has_y || !(h > 0)) return 0;
  if (!(t.derivative_n > 0)) return 0;
  if (!std::isfinite(t.derivative_n)) return -t.kc * t.td_s * (y - s.last_y) / h;
  const double ad = t.td_s / (t.td_s + t.derivative_n * h);
  const double bd = t.kc * t.td_s * t.derivative_n / (t.td_s + t.derivative_n * h);
  return ad * s.derivative - bd * (y - s.last_y);
}

}  // namespace

Result<PidTuning> checked(const PidTuning& t) {
  const auto bad = [](const char* field, const char* text) {
    return tl::make_unexpected(Error{Errc::out_of_range, field, text});
  };
  if (!std::isfinite(t.kc)) return bad("kc", "must be finite");
  if (!(t.ti_s > 0)) return bad("ti_s", "must be above 0, or infinite for no integral action");
  if (!(t.td_s >= 0) || !std::isfinite(t.td_s)) return bad("td_s", "must be 0 or above");
  if (!(t.derivative_n >= 0) || (t.td_s > 0 && !(t.derivative_n > 0)))
    return bad("derivative_n", "must be above 0 with a derivative");
  if (!(t.tt_s >= 0)) return bad("tt_s", "must be 0 (automatic) or above");
  if (!(t.setpoint_weight >= 0 && t.setpoint_weight <= 1)) return bad("setpoint_weight", "must be within 0 to 1");
  if (!(t.out_min < t.out_max)) return bad("out_min", "must be below out_max");
  if (!(t.deadband >= 0)) return bad("deadband", "must be 0 or above");
  if (!(t.max_gap_s > 0)) return bad("max_gap_s", "must be above 0");
  return t;
}

PidOutput pid_step(const PidTuning& t, const PidState& s, const PidInput& in) noexcept {
  if (!std::isfinite(in.r) || !std::isfinite(in.y) || !std::isfinite(in.feedforward)) return held(s, true);
  if (s.has_stamp && in.stamp_ns == s.stamp_ns) return held(s, true);
  const double h = s.has_stamp ? static_cast<double>(in.stamp_ns - s.stamp_ns) * 1e-9 : 0.0;
  if (h < 0) return held(s, true);
  if (h > t.max_gap_s) {
    PidOutput gap = held(s, false);
    gap.next.stamp_ns = in.stamp_ns;  // time goes on, the gap is not integrated over
    return gap;
  }
  PidOutput out;
  PidWhy& why = out.why;
  why.p = proportional(t, in);
  why.i = s.integral;
  why.d = next_derivative(t, s, in.y, h);
  why.feedforward = in.feedforward;
  why.unlimited = why.feedforward + why.p + why.i + why.d;
  out.u = std::clamp(why.unlimited, t.out_min, t.out_max);
  why.at_min = why.unlimited < t.out_min;
  why.at_max = why.unlimited > t.out_max;

  const double error = in.r - in.y;
  const double taken = std::abs(error) > t.deadband ? error : 0.0;
  const double tracking = tracking_of(t, h);
  PidState& next = out.next;
  next = s;
  next.integral += t.kc * h / t.ti_s * taken + tracking * (out.u - why.unlimited);
  next.derivative = why.d;
  next.last_y = in.y;
  next.has_y = true;
  next.stamp_ns = in.stamp_ns;
  next.has_stamp = true;
  next.output = out.u;
  next.tracking = tracking;
  return out;
}

PidOutput pid_hold(const PidState& state) noexcept { return held(state, true); }

PidState pid_applied(const PidState& state, double applied) noexcept {
  if (!std::isfinite(applied)) return state;
  PidState next = state;
  next.integral += state.tracking * (applied - state.output);
  next.output = applied;
  next.tracking = 0;
  return next;
}

PidState pid_start(const PidTuning& t, const PidInput& in, double applied) noexcept {
  PidState state;
  state.output = applied;
  if (!std::isfinite(in.r) || !std::isfinite(in.y) || !std::isfinite(in.feedforward)) return state;
  state.integral = applied - in.feedforward - proportional(t, in);
  return state;
}

PidState pid_retune(const PidState& state, const PidTuning& from, const PidTuning& to, const PidInput& in) noexcept {
  if (!std::isfinite(in.r) || !std::isfinite(in.y)) return state;
  PidState next = state;
  next.integral += proportional(from, in) - proportional(to, in);
  return next;
}

}  // namespace leeward::control
