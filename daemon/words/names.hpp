#pragma once
/// The names of every enumerator that leaves the process: in JSON, in recordings, on the command line.
/// They are agreed texts: a recording made today must be readable tomorrow, so a name never changes.

#include <array>
#include <cstddef>
#include <optional>
#include <string_view>
#include <type_traits>

#include "control/analysis/run_result.hpp"
#include "control/analysis/target_verdict.hpp"
#include "control/ask.hpp"
#include "control/command.hpp"
#include "control/engine_config.hpp"
#include "control/event.hpp"
#include "control/phase.hpp"
#include "control/procedure/procedure_spec.hpp"
#include "control/request.hpp"
#include "control/result.hpp"
#include "control/sample.hpp"
#include "control/signs.hpp"
#include "control/trace.hpp"

namespace leeward::daemon {

/// Names of an enum whose enumerators count from 0 without a gap; `last` guards the table's length.
template <class E>
struct EnumNames;

/// An enum with a table here. Enums of inner states have none; JSON writes those as numbers.
template <class E>
concept NamedEnum = std::is_enum_v<E> && requires {
  EnumNames<E>::kNames.size();
};

/// @returns "unknown" for a value that is no enumerator
template <NamedEnum E>
[[nodiscard]] constexpr std::string_view name_of(E e) {
  const auto i = static_cast<std::size_t>(e);
  return i < EnumNames<E>::kNames.size() ? EnumNames<E>::kNames[i] : std::string_view("unknown");
}

/// @returns nullopt for a text that is no enumerator's name
template <NamedEnum E>
[[nodiscard]] constexpr std::optional<E> from_name(std::string_view name) {
  for (std::size_t i = 0; i < EnumNames<E>::kNames.size(); ++i)
    if (EnumNames<E>::kNames[i] == name) return static_cast<E>(i);
  return std::nullopt;
}

namespace names_detail {
template <auto last, class... Names>
constexpr auto table(Names... names) {
  static_assert(sizeof...(names) == static_cast<std::size_t>(last) + 1, "one name for every enumerator");
  return std::array<std::string_view, sizeof...(names)>{names...};
}
}  // namespace names_detail

template <>
struct EnumNames<control::Phase> {
  static constexpr auto kNames = names_detail::table<control::Phase::learn_drive>(
      "idle", "prepare", "baseline", "uncover", "look_round", "climb", "stations", "closing_baseline",
      "restore", "result", "hold", "tripped", "learn_drive");
};
template <>
struct EnumNames<control::RunState> {
  static constexpr auto kNames = names_detail::table<control::RunState::interrupted>(
      "none", "running", "done", "invalid", "stopped", "tripped", "interrupted");
};
template <>
struct EnumNames<control::TripCause> {
  static constexpr auto kNames = names_detail::table<control::TripCause::no_sign_of_life>(
      "none", "pressure_missing", "pressure_frozen", "pressure_out_of_range", "signal_missing",
      "over_pressure", "pressure_rate", "no_response", "wrong_way", "oscillation", "missed_ticks",
      "too_windy", "fan_ignores_stop", "drive_refuses", "time_gap", "no_sign_of_life");
};
template <>
struct EnumNames<control::StopMode> {
  static constexpr auto kNames = names_detail::table<control::StopMode::ramp>("cut", "ramp");
};
template <>
struct EnumNames<control::AskKind> {
  static constexpr auto kNames = names_detail::table<control::AskKind::turn_fan>(
      "checklist", "cover_fan", "uncover_fan", "fit_restriction", "look_round", "turn_fan");
};
template <>
struct EnumNames<control::Answer> {
  static constexpr auto kNames =
      names_detail::table<control::Answer::stop>("none", "done", "not_applicable", "keep", "stop");
};
template <>
struct EnumNames<control::Direction> {
  static constexpr auto kNames =
      names_detail::table<control::Direction::pressurize>("depressurize", "pressurize");
};
template <>
struct EnumNames<control::DirectionChoice> {
  static constexpr auto kNames =
      names_detail::table<control::DirectionChoice::both>("depressurize", "pressurize", "both");
};
template <>
struct EnumNames<control::RequestKind> {
  static constexpr auto kNames = names_detail::table<control::RequestKind::still_here>(
      "none", "stop", "clear_trip", "baseline", "hold", "climb", "start_run", "answer", "pause", "resume",
      "keep", "learn_drive", "tell_drive", "still_here");
};
template <>
struct EnumNames<control::Refusal> {
  static constexpr auto kNames = names_detail::table<control::Refusal::cannot_take_up>(
      "accepted", "not_finite", "out_of_range", "above_ceiling", "no_baseline", "look_round_missing", "busy",
      "not_running", "tripped", "no_trip", "unknown_ask", "ask_answered", "unknown_answer",
      "direction_not_allowed", "no_stations", "unattended_refused", "cannot_take_up");
};
template <>
struct EnumNames<control::Drive> {
  static constexpr auto kNames = names_detail::table<control::Drive::drive>("off", "hold_last", "drive");
};
template <>
struct EnumNames<control::RegulatorLaw> {
  static constexpr auto kNames = names_detail::table<control::RegulatorLaw::model>("plain", "model");
};
template <>
struct EnumNames<control::SilenceStop> {
  static constexpr auto kNames =
      names_detail::table<control::SilenceStop::watchdog_relay>("none", "device_timeout", "watchdog_relay");
};
template <>
struct EnumNames<control::EventKind> {
  static constexpr auto kNames = names_detail::table<control::EventKind::presence_back>(
      "phase_changed", "run_started", "run_ended", "ask_opened", "ask_answered", "ask_withdrawn",
      "baseline_taken", "station_begun", "station_done", "station_unreachable", "restriction_fitted",
      "restriction_mismatch", "countdown_started", "tripped", "trip_cleared", "limited", "sample_gap",
      "tick_late", "sensor_lost", "sensor_back", "hold_started", "hold_ended", "paused", "resumed",
      "result_ready", "too_windy", "nobody_answered", "request_refused", "drive_experiment_begun",
      "drive_experiment_ended", "drive_told", "presence_due", "presence_lowered", "presence_back");
};
template <>
struct EnumNames<control::Quality> {
  static constexpr auto kNames = names_detail::table<control::Quality::device_error>(
      "absent", "good", "not_finite", "out_of_range", "stale", "device_error");
};
template <>
struct EnumNames<control::DeviceStatus> {
  static constexpr auto kNames = names_detail::table<control::DeviceStatus::not_connected>(
      "ok", "no_answer", "bad_answer", "not_connected");
};
template <>
struct EnumNames<control::LimitedBy> {
  static constexpr auto kNames = names_detail::table<control::LimitedBy::hands_at_fan>(
      "nothing", "demand_max", "demand_min", "slew", "ceiling", "guard_hold", "trip", "hands_at_fan");
};
template <>
struct EnumNames<control::CheckKind> {
  static constexpr auto kNames = names_detail::table<control::CheckKind::outdoor_temperature>(
      "baseline_sign_means", "baseline_mean", "baseline_duration", "baseline_samples", "station_count",
      "station_spacing", "lowest_station", "highest_station", "station_average", "exponent_range", "r2_min",
      "wind_speed", "stack_product", "both_directions", "single_point_pressure", "correlation_min",
      "flow10_standard_error", "station_repeats", "pressure_span", "station_off_target", "directions_differ",
      "flow_calibration", "outdoor_temperature");
};
template <>
struct EnumNames<control::Severity> {
  static constexpr auto kNames =
      names_detail::table<control::Severity::advice>("invalid", "deviation", "advice");
};
template <>
struct EnumNames<control::Mark> {
  static constexpr auto kNames = names_detail::table<control::Mark::memory>("source", "memory");
};
template <>
struct EnumNames<control::DirectionRule> {
  static constexpr auto kNames =
      names_detail::table<control::DirectionRule::one_or_both>("one", "both", "one_or_both");
};
template <>
struct EnumNames<control::FitMethod> {
  static constexpr auto kNames =
      names_detail::table<control::FitMethod::fixed_exponent>("ols_loglog", "fixed_exponent");
};
template <>
struct EnumNames<control::CheckOutcome> {
  static constexpr auto kNames =
      names_detail::table<control::CheckOutcome::not_applicable>("passed", "failed", "not_applicable");
};
template <>
struct EnumNames<control::TargetMetric> {
  static constexpr auto kNames = names_detail::table<control::TargetMetric::normalized_area>(
      "n50", "qe50", "qf50", "qe75", "qe4", "q4_loss", "normalized_area");
};
template <>
struct EnumNames<control::TargetUnit> {
  static constexpr auto kNames =
      names_detail::table<control::TargetUnit::cm2_m2>("1/h", "m3/(h m2)", "cfm/ft2", "L/(s m2)", "cm2/m2");
};
template <>
struct EnumNames<control::Decision> {
  static constexpr auto kNames = names_detail::table<control::Decision::guarded>("simple", "guarded");
};
template <>
struct EnumNames<control::FindingKind> {
  static constexpr auto kNames = names_detail::table<control::FindingKind::tube_kinked>(
      "opening", "seal_off", "exhaust_fan", "wrong_restriction", "zero_flow_drift", "unshared_wind",
      "exponent_shift", "tubes_swapped", "wrong_floor_area", "wrong_envelope", "wrong_barometer",
      "signal_lost", "signal_drift", "tube_kinked");
};
template <>
struct EnumNames<control::FindingGrade> {
  static constexpr auto kNames =
      names_detail::table<control::FindingGrade::possible>("certain", "likely", "possible");
};
template <>
struct EnumNames<control::Errc> {
  static constexpr auto kNames =
      names_detail::table<control::Errc::busy>("out_of_range", "not_finite", "wrong_type", "unknown_key",
                                               "missing_key", "conflict", "io", "device", "busy");
};

}  // namespace leeward::daemon
