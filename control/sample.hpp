#pragma once
/// What was read, as plain values. A reading is a value with its own stamp and quality, failed until
/// proven good; a missing sample is a sample too. Time is engine time: it comes with the sample.

#include <array>
#include <cstdint>

namespace leeward::control {

inline constexpr std::size_t kMaxFans = 4;

enum class Quality : std::uint8_t { absent, good, not_finite, out_of_range, stale, device_error };

/// One channel's reading. `value` means nothing (and is 0) unless quality is good.
struct Reading {
  double value = 0;
  std::int64_t stamp_ns = 0;
  Quality quality = Quality::absent;
  bool operator==(const Reading&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("value", &Reading::value);
    v("stamp_ns", &Reading::stamp_ns);
    v("quality", &Reading::quality);
  }
};

/// How the device answered in this period.
enum class DeviceStatus : std::uint8_t { ok, no_answer, bad_answer, not_connected };

struct FanReadings {
  Reading signal_pa;   ///< fan-side signal, at least 0
  Reading speed_frac;  ///< where the device reports it
  bool operator==(const FanReadings&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("signal_pa", &FanReadings::signal_pa);
    v("speed_frac", &FanReadings::speed_frac);
  }
};

struct Sample {
  std::int64_t stamp_ns = 0;      ///< engine time of this tick, monotonic, from 0 at connection
  std::int64_t wall_unix_ms = 0;  ///< calendar time, for people only; decides nothing
  std::int32_t skipped = 0;       ///< periods of the sample counter that were not seen before this one
  std::int32_t late_ticks = 0;    ///< periods missed by our own loop since the last tick
  bool out_of_turn = false;       ///< an extra tick for an urgent request: carries no new readings
  DeviceStatus device = DeviceStatus::not_connected;
  Reading building_pressure_pa;  ///< signed: indoor minus outdoor
  Reading indoor_c;
  Reading outdoor_c;
  std::array<FanReadings, kMaxFans> fans;
  bool operator==(const Sample&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("stamp_ns", &Sample::stamp_ns);
    v("wall_unix_ms", &Sample::wall_unix_ms);
    v("skipped", &Sample::skipped);
    v("late_ticks", &Sample::late_ticks);
    v("out_of_turn", &Sample::out_of_turn);
    v("device", &Sample::device);
    v("building_pressure_pa", &Sample::building_pressure_pa);
    v("indoor_c", &Sample::indoor_c);
    v("outdoor_c", &Sample::outdoor_c);
    v("fans", &Sample::fans);
  }
};

}  // namespace leeward::control
