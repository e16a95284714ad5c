#include "control/guard/causes.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace leeward::control {
namespace {

constexpr double kOverPressureWait = 1.0;     // s beyond the ceiling with the demand already cut
constexpr double kOverPressureAtOnce = 20.0;  // Pa beyond it that need no waiting
constexpr double kAwayWait = 30.0;            // s without a reading while the fan rests
constexpr double kRateWindow = 0.3;           // s over which the rate is taken
constexpr double kRateWait = 0.5;             // s of running away
constexpr double kRateGusts = 4;              // 1/s: standard deviations of the zero-flow pressure
constexpr double kWrongWayLeast = 10.0;       // Pa
constexpr double kRestTime = 2.0;             // s over which the pressure of a fan at rest is taken
constexpr double kWrongWayWait = 0.7;         // s: a gust passes, a fan the wrong way round does not
constexpr double kWrongWayAtOnce = 3.0;       // times the limit
constexpr double kRefusedWait = 0.3;          // s
constexpr double kSignalWait = 0.7;           // s in a run beyond those after which a reading is missing
constexpr std::int32_t kLateInARow = 5;
constexpr double kStopWait = 15.0;         // s: longer than any wheel's run-down
constexpr double kStopShare = 0.5;         // of the signal at the stop
constexpr double kStopLeastSignal = 10.0;  // Pa
constexpr double kSwingSize = 0.25;        // of full demand, from turning point to turning point
constexpr double kSwingPressure = 3;       // Pa that the pressure must swing with it ...
constexpr double kSwingGusts = 4;          // ... and so many times the zero-flow unrest
constexpr double kSwingTime = 8.0;         // s: slower swings are not an oscillation of the loop
constexpr std::int32_t kSwingCount = 8;
constexpr double kCoastTime = 8.0;  // s after which the fan no longer drives the pressure

double size_pa(const GuardInput& in) { return std::abs(in.pressure_signed_pa); }

/// A gust moves the building without the fan: the wind's own unrest is no runaway.
double rate_limit_pa_s(const LimitSpec& limits, const GuardInput& in) {
  return limits.pressure_rate_max_pa_s + kRateGusts * in.zero_flow_sd_pa;
}

void track_rate(const LimitSpec& limits, GuardState& s, const GuardInput& in) {
  if (!in.pressure_good) {
    s.rate_age_s = 0;
    s.rate_s = 0;
    s.rate_pressure_pa = in.pressure_signed_pa;
    return;
  }
  s.rate_age_s += in.dt_s;
  if (s.rate_age_s >= kRateWindow) {
    s.rate_pa_s = (size_pa(in) - std::abs(s.rate_pressure_pa)) / s.rate_age_s;
    s.rate_pressure_pa = in.pressure_signed_pa;
    s.rate_age_s = 0;
  }
  s.rate_s = s.rate_pa_s > rate_limit_pa_s(limits, in) ? s.rate_s + in.dt_s : 0;
}

double wrong_way_limit_pa(const GuardInput& in) { return std::max(kWrongWayLeast, 5.0 * in.zero_flow_sd_pa); }

/// Beyond the limit the wrong way, counted from where the fan stood, and not further than it can have pushed:
/// the rest is wind.
void track_wrong_way(GuardState& s, const GuardInput& in) {
  if (!in.pressure_good) return;  // neither this way nor that
  if (!in.drive && in.last_applied_frac <= 0 && in.has_zero_flow)
    s.rest_pa += std::min(1.0, in.dt_s / kRestTime) * (in.induced_pa - s.rest_pa);
  const bool back =
      in.drive && in.has_zero_flow && in.induced_pa <= -wrong_way_limit_pa(in) &&
      -in.induced_pa <= in.most_pressure_pa + 3.0 * in.zero_flow_sd_pa - std::min(0.0, s.rest_pa);
  s.wrong_way_s = back ? s.wrong_way_s + std::max(in.dt_s, 1e-9) : 0;
}

/// A swing of the demand is the loop's own where the pressure swings with it by more than the wind alone
/// moves it, or where the air is too still to ask for it. A demand that goes against gusts leaves the
/// pressure quieter.
bool harmful_swing(const GuardState& s, const GuardInput& in, double moved) {
  const double low = std::min(s.swing_low_pa, s.before_low_pa);
  const double high = std::max(s.swing_high_pa, s.before_high_pa);
  const double by_wind = std::max(kSwingPressure, kSwingGusts * in.zero_flow_sd_pa);
  const double unasked = kSwingSize * (1 + in.zero_flow_sd_pa);
  return high - low >= by_wind || std::abs(moved) >= unasked;
}

/// @param low_pa, high_pa  how far the pressure went in what was before
void watch_swing(GuardState& s, const GuardInput& in, double low_pa, double high_pa) {
  s.before_low_pa = low_pa;
  s.before_high_pa = high_pa;
  s.swing_low_pa = s.swing_high_pa = in.induced_pa;
  s.swing_age_s = 0;
}

void track_swings(GuardState& s, const GuardInput& in) {
  s.swing_age_s += in.dt_s;
  s.swing_low_pa = std::min(s.swing_low_pa, in.induced_pa);
  s.swing_high_pa = std::max(s.swing_high_pa, in.induced_pa);
  if (!in.drive || s.swing_age_s > kSwingTime) {
    s.swings = 0;
    watch_swing(s, in, in.induced_pa, in.induced_pa);
  }
  const double moved = in.last_applied_frac - s.trend_extreme_frac;
  const std::int32_t way = moved > 0 ? 1 : -1;
  if (way == s.trend) {  // further the same way: the extreme moves along
    s.trend_extreme_frac = in.last_applied_frac;
  } else if (std::abs(moved) >= kSwingSize && harmful_swing(s, in, moved)) {
    s.swings += 1;
    s.trend = way;
    s.trend_extreme_frac = in.last_applied_frac;
    watch_swing(s, in, s.swing_low_pa, s.swing_high_pa);
  }
}

Finding pressure_sensor(const LimitSpec& limits, const GuardState&, const GuardInput& in) {
  if (!in.drive && in.last_applied_frac <= 0) {
    // The fan rests, so there is time; but a run must not wait for ever for readings that do not come.
    if (!in.reading_needed || in.pressure_age_s < kAwayWait) return {};
    return {TripCause::pressure_missing, StopMode::cut, in.pressure_age_s, kAwayWait};
  }
  if (in.pressure_saturated)
    return {TripCause::pressure_out_of_range, StopMode::cut, in.pressure_signed_pa, limits.sensor_range_pa};
  // Half a period of slack: three missing samples of a 10 Hz sensor are 300 ms.
  if (in.pressure_age_s >= limits.missing_sample_s - 0.001)
    return {TripCause::pressure_missing, StopMode::ramp, in.pressure_age_s, limits.missing_sample_s};
  if (in.pressure_frozen)
    return {TripCause::pressure_frozen, StopMode::ramp, limits.frozen_s, limits.frozen_s};
  return {};
}

Finding over_pressure(const LimitSpec& limits, const GuardState& s, const GuardInput& in) {
  if (!in.pressure_good) return {};
  if (!in.drive && s.at_rest_s > kCoastTime) return {};
  const double limit = limits.building_pressure_max_pa;
  if (size_pa(in) > limit + kOverPressureAtOnce || s.over_pressure_s > kOverPressureWait)
    return {TripCause::over_pressure, StopMode::cut, size_pa(in), limit};
  return {};
}

Finding runaway(const LimitSpec& limits, const GuardState& s, const GuardInput& in) {
  if (!in.drive || s.rate_s < kRateWait) return {};
  return {TripCause::pressure_rate, StopMode::cut, s.rate_pa_s, rate_limit_pa_s(limits, in)};
}

/// Counted from where the fan stood: an open fan's hole lets wind and stack move the house without it. Of
/// 4000 clean runs 4 stood beyond the limit before the fan had begun.
Finding wrong_way(const LimitSpec&, const GuardState& s, const GuardInput& in) {
  const double limit = wrong_way_limit_pa(in);
  if (s.wrong_way_s <= 0 || in.induced_pa > std::min(0.0, s.rest_pa) - limit) return {};
  if (s.wrong_way_s < kWrongWayWait && in.induced_pa > -kWrongWayAtOnce * limit) return {};
  return {TripCause::wrong_way, StopMode::cut, in.induced_pa, -limit};
}

Finding refusing(const LimitSpec&, const GuardState& s, const GuardInput&) {
  if (s.refused_s < kRefusedWait - 0.001) return {};
  return {TripCause::drive_refuses, StopMode::cut, s.refused_s, kRefusedWait};
}

Finding gap(const LimitSpec&, const GuardState&, const GuardInput& in) {
  if (in.last_applied_frac <= 0 || in.gap_s <= in.gap_limit_s) return {};
  return {TripCause::time_gap, StopMode::ramp, in.gap_s, in.gap_limit_s};
}

Finding no_response(const LimitSpec&, const GuardState& s, const GuardInput& in) {
  if (!is_without_response(s.response, in.response)) return {};
  return {TripCause::no_response, StopMode::ramp, in.induced_pa, s.response.made_pa};
}

Finding signal(const LimitSpec&, const GuardState& s, const GuardInput& in) {
  if (!in.drive || s.signal_missing_s < kSignalWait - 0.001) return {};
  return {TripCause::signal_missing, StopMode::ramp, s.signal_missing_s, kSignalWait};
}

Finding lateness(const LimitSpec&, const GuardState& s, const GuardInput& in) {
  if (!in.drive || s.late_in_a_row < kLateInARow) return {};
  return {TripCause::missed_ticks, StopMode::ramp, static_cast<double>(s.late_in_a_row), kLateInARow};
}

Finding swinging(const LimitSpec&, const GuardState& s, const GuardInput& in) {
  if (!in.drive || s.swings < kSwingCount) return {};
  return {TripCause::oscillation, StopMode::ramp, static_cast<double>(s.swings), kSwingCount};
}

Finding ignored_stop(const LimitSpec&, const GuardState& s, const GuardInput& in) {
  const double limit = std::max(kStopLeastSignal, kStopShare * s.signal_at_stop_pa);
  if (s.at_rest_s < kStopWait || s.signal_at_stop_pa <= 0 || !in.signal_good || in.signal_pa < limit)
    return {};
  return {TripCause::fan_ignores_stop, StopMode::cut, in.signal_pa, limit};
}

/// The pressure is down already, and still nobody gives a sign of life.
Finding silence(const LimitSpec&, const GuardState&, const GuardInput& in) {
  if (!in.drive || in.silent_limit_s <= 0 || in.silent_s < in.silent_limit_s) return {};
  return {TripCause::no_sign_of_life, StopMode::ramp, in.silent_s, in.silent_limit_s};
}

}  // namespace

void track(const LimitSpec& limits, GuardState& s, const GuardInput& in) noexcept {
  if (in.last_applied_frac > 0) {
    s.at_rest_s = 0;
    if (in.signal_good) s.signal_at_stop_pa = in.signal_pa;
  } else {
    s.at_rest_s += in.dt_s;
  }
  const bool beyond =
      in.pressure_good ? size_pa(in) > limits.building_pressure_max_pa : s.over_pressure_s > 0;
  // The first tick beyond counts too: the demand is cut in the same period.
  s.over_pressure_s = beyond ? s.over_pressure_s + std::max(in.dt_s, 1e-9) : 0;
  if (in.out_of_turn) return;
  track_rate(limits, s, in);
  track_swings(s, in);
  track_wrong_way(s, in);
  const bool driven = in.drive || in.last_applied_frac > 0;
  s.refused_s = driven && in.refused ? s.refused_s + in.dt_s : 0;
  if (s.at_rest_s > kCoastTime) s.response = {};
  watch_response(s.response, in.response);
  // Also while the fan stands: one that is missing already must not start it.
  s.signal_missing_s = in.signal_needed && !in.signal_good ? s.signal_missing_s + in.dt_s : 0;
  const bool off_beat = in.late_ticks > 0 || !(in.dt_s > 0);
  s.late_in_a_row = off_beat ? s.late_in_a_row + 1 : 0;
}

Finding find_cause(const LimitSpec& limits, const GuardState& state, const GuardInput& in) noexcept {
  constexpr std::array causes{over_pressure, pressure_sensor, gap,      refusing, runaway,      wrong_way,
                              no_response,   signal,          lateness, swinging, ignored_stop, silence};
  for (const auto cause : causes) {
    const Finding finding = cause(limits, state, in);
    if (finding.cause != TripCause::none) return finding;
  }
  return {};
}

bool wind_alone_beyond_ceiling(const LimitSpec& limits, const GuardState& state,
                               const GuardInput& in) noexcept {
  // A fan that still draws air is not at rest, whatever it was told.
  const bool turning = in.signal_good && state.signal_at_stop_pa > 0 &&
                       in.signal_pa >= std::max(kStopLeastSignal, kStopShare * state.signal_at_stop_pa);
  return in.pressure_good && !turning && state.at_rest_s > kCoastTime &&
         size_pa(in) > limits.building_pressure_max_pa;
}

}  // namespace leeward::control
