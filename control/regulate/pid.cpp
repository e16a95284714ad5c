#include "control/regulate/pid.hpp"

#include <algorithm>
#include <cmath>

#include "control/seconds_between.hpp"

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

double proportional(const PidTuning& t, const PidInput& in) {
  return t.kc * (t.setpoint_weight * in.r - in.y);
}

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

/// The held value of a step that was asked for within limits keeps within them.
PidOutput held_within(const PidTuning& t, const PidState& state, bool keep_y) {
  PidOutput out = held(state, keep_y);
  out.u = std::clamp(out.u, t.out_min, t.out_max);
  out.next.output = out.u;
  return out;
}

bool usable(const PidInput& in) {
  return std::isfinite(in.r) && std::isfinite(in.y) && std::isfinite(in.feedforward);
}

double next_derivative(const PidTuning& t, const PidState& s, double y, double h) {
  if (!(t.td_s > 0) || !s.has_y || !(h > 0)) return 0;
  if (!(t.derivative_n > 0)) return 0;
  const double filter_s = t.td_s / t.derivative_n;  // 0 for an infinite N: the plain difference
  const double ad = filter_s / (filter_s + h);
  const double bd = t.kc * t.td_s / (filter_s + h);
  return ad * s.derivative - bd * (y - s.last_y);
}

/// What the state becomes once this step's output is known.
PidState advanced(const PidTuning& t, const PidState& s, const PidInput& in, const PidOutput& out, double h) {
  const double error = in.r - in.y;
  const double taken = std::abs(error) > t.deadband ? error : 0.0;
  const double tracking = tracking_of(t, h);
  const double integral = s.integral + t.kc * h / t.ti_s * taken + tracking * (out.u - out.why.unlimited);
  PidState next;
  next.integral = std::clamp(integral, t.integral_min, t.integral_max);
  next.derivative = out.why.d;
  next.last_y = in.y;
  next.has_y = true;
  next.stamp_ns = in.stamp_ns;
  next.has_stamp = true;
  next.output = out.u;
  next.tracking = tracking;
  return next;
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
  if (!(t.setpoint_weight >= 0 && t.setpoint_weight <= 1))
    return bad("setpoint_weight", "must be within 0 to 1");
  if (!(t.out_min < t.out_max)) return bad("out_min", "must be below out_max");
  if (!(t.deadband >= 0)) return bad("deadband", "must be 0 or above");
  if (!(t.max_gap_s > 0)) return bad("max_gap_s", "must be above 0");
  if (!(t.integral_min <= t.integral_max)) return bad("integral_min", "must not be above integral_max");
  return t;
}

PidOutput pid_step(const PidTuning& t, const PidState& s, const PidInput& in) noexcept {
  if (!usable(in)) return held_within(t, s, true);
  const double h = s.has_stamp ? seconds_between(s.stamp_ns, in.stamp_ns) : 0.0;
  if (std::abs(h) > t.max_gap_s) {
    PidOutput gap = held_within(t, s, false);
    gap.next.stamp_ns = in.stamp_ns;  // time goes on, the gap is not integrated over
    return gap;
  }
  if (s.has_stamp && !(h > 0)) return held_within(t, s, true);
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
  out.next = advanced(t, s, in, out, h);
  // Readings so large that the sum overflows are as bad as ones that are not finite.
  const bool sound = std::isfinite(why.unlimited) && std::isfinite(out.next.integral);
  return sound ? out : held_within(t, s, true);
}

PidOutput pid_hold(const PidState& state) noexcept { return held(state, true); }

PidState pid_applied(const PidState& state, double applied) noexcept {
  PidState next = state;
  next.integral += state.tracking * (applied - state.output);
  if (!std::isfinite(next.integral)) return state;  // applied is no number, or 0 times infinity
  next.output = applied;
  next.tracking = 0;
  return next;
}

PidState pid_track(const PidTuning& t, const PidState& state, const PidInput& in, double applied) noexcept {
  PidState next = state;
  next.tracking = 0;
  if (std::isfinite(applied)) next.output = applied;
  if (!usable(in) || !std::isfinite(next.output - in.feedforward - proportional(t, in))) return next;
  next.integral = next.output - in.feedforward - proportional(t, in);
  next.derivative = 0;
  next.last_y = in.y;
  next.has_y = true;
  next.stamp_ns = in.stamp_ns;
  next.has_stamp = true;
  return next;
}

PidState pid_start(const PidTuning& t, const PidInput& in, double applied) noexcept {
  PidState state = pid_track(t, {}, in, applied);
  state.has_stamp = false;  // this tick's own step is still to come, and its interval is not known
  return state;
}

PidState pid_retune(const PidState& state, const PidTuning& from, const PidTuning& to,
                    const PidInput& in) noexcept {
  PidState next = state;
  next.integral += proportional(from, in) - proportional(to, in);
  return std::isfinite(next.integral) ? next : state;
}

}  // namespace leeward::control
