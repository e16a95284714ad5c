#include "control/guard/guard.hpp"

#include <algorithm>
#include <cmath>

#include "control/guard/causes.hpp"
#include "control/seconds_between.hpp"

namespace leeward::control {
namespace {

constexpr double kRampTime = 0.6;  // s: off within 0.7 s of the trip, one 10 Hz period in hand

void latch(GuardState& state, const GuardInput& in, const Finding& finding) {
  state.trip = {finding.cause, finding.mode, in.now_ns, finding.seen, finding.limit};
  state.ramp_from_frac = in.last_applied_frac;
}

/// What a latched trip leaves of the demand: nothing, or the ramp down to it.
GuardOutput after_trip(const GuardState& state, const GuardInput& in) {
  GuardOutput out;
  out.limited_by = LimitedBy::trip;
  if (state.trip.mode == StopMode::cut || state.over_pressure_s > 0) return out;
  const double since_s = seconds_between(state.trip.at_ns, in.now_ns);
  // Time that stands still must not stretch the ramp.
  const bool stalled = !in.out_of_turn && !(in.dt_s > 0);
  const double left = stalled ? 0.0 : 1.0 - (since_s + in.dt_s) / kRampTime;
  out.demand_frac = std::min(in.last_applied_frac, state.ramp_from_frac * std::max(0.0, left));
  out.drive = out.demand_frac > 0;
  return out;
}

GuardOutput limited(const LimitSpec& limits, const GuardState& state, const GuardInput& in) {
  GuardOutput out;
  out.drive = in.drive && std::isfinite(in.demand_frac);
  out.demand_frac = out.drive ? std::clamp(in.demand_frac, 0.0, limits.demand_max_frac) : 0.0;
  if (out.drive && in.demand_frac > limits.demand_max_frac) out.limited_by = LimitedBy::demand_max;
  if (!out.drive) return out;
  if (state.over_pressure_s > 0) {
    out.demand_frac = 0;
    out.limited_by = LimitedBy::ceiling;
  } else if (!in.pressure_good || state.rate_s > 0 || is_unfelt(state.response)) {
    // Without a fresh reading, while the pressure runs away, or where it does not show what the fan does,
    // nothing may be added: with a tube off the regulator would go on until it shows.
    if (out.demand_frac > in.last_applied_frac) out.limited_by = LimitedBy::guard_hold;
    out.demand_frac = std::min(out.demand_frac, in.last_applied_frac);
  }
  return out;
}

}  // namespace

GuardOutput guard_step(const LimitSpec& limits, GuardState& state, const GuardInput& in) noexcept {
  track(limits, state, in);
  if (state.trip.active()) {
    GuardOutput out = after_trip(state, in);
    return out;
  }
  GuardOutput out;
  if (wind_alone_beyond_ceiling(limits, state, in)) {
    out.too_windy = in.drive || in.signal_needed;
    out.limited_by = LimitedBy::ceiling;
    return out;
  }
  const Finding finding = find_cause(limits, state, in);
  if (finding.cause != TripCause::none) {
    latch(state, in, finding);
    out = after_trip(state, in);
    out.tripped_now = true;
    return out;
  }
  return limited(limits, state, in);
}

void clear_trip(GuardState& state) noexcept {
  GuardState fresh;
  fresh.signal_at_stop_pa = state.signal_at_stop_pa;
  // A fan that ignored the stop is given the whole wait again, then trips again.
  fresh.at_rest_s = state.trip.cause == TripCause::fan_ignores_stop ? 0 : state.at_rest_s;
  state = fresh;
}

}  // namespace leeward::control
