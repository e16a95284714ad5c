#pragma once
/// The faults that a campaign stages, by name.

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "control/fixed_vector.hpp"

namespace leeward::sim {

enum class FaultKind : std::uint8_t {
  none,
  // building sensor and its tubes
  pressure_silent,
  pressure_stuck,
  pressure_spikes,
  pressure_out_of_range,
  pressure_not_a_number,
  pressure_zero_drifts,
  pressure_tube_off,
  pressure_tube_kinked,
  pressure_tubes_swapped,
  pressure_water_in_tube,
  // fan-side sensor
  signal_silent,
  signal_stuck,
  signal_spikes,
  signal_not_a_number,
  signal_tube_off,
  // fan and drive
  fan_stands,
  fan_turned_round,
  fan_lags,
  fan_ignores_stop,
  fan_blocked,
  fan_too_strong,
  drive_refuses,
  restriction_other,
  // house
  opening,
  opening_shut,
  exhaust_fan,
  // bus
  bus_one_miss,
  bus_lost,
  bus_back,
  bus_bad_answer,
  bus_late_answer,
  // time
  ticks_missed,
  process_suspended,
  time_stands,
  wall_clock_stepped,
  // people
  operator_stops,
  count
};
inline constexpr std::size_t kFaultKinds = static_cast<std::size_t>(FaultKind::count);
using FaultKinds = control::FixedVector<FaultKind, kFaultKinds>;

inline constexpr std::array<std::string_view, kFaultKinds> kFaultNames{
    "none",
    "pressure_silent",
    "pressure_stuck",
    "pressure_spikes",
    "pressure_out_of_range",
    "pressure_not_a_number",
    "pressure_zero_drifts",
    "pressure_tube_off",
    "pressure_tube_kinked",
    "pressure_tubes_swapped",
    "pressure_water_in_tube",
    "signal_silent",
    "signal_stuck",
    "signal_spikes",
    "signal_not_a_number",
    "signal_tube_off",
    "fan_stands",
    "fan_turned_round",
    "fan_lags",
    "fan_ignores_stop",
    "fan_blocked",
    "fan_too_strong",
    "drive_refuses",
    "restriction_other",
    "opening",
    "opening_shut",
    "exhaust_fan",
    "bus_one_miss",
    "bus_lost",
    "bus_back",
    "bus_bad_answer",
    "bus_late_answer",
    "ticks_missed",
    "process_suspended",
    "time_stands",
    "wall_clock_stepped",
    "operator_stops",
};

[[nodiscard]] constexpr std::string_view fault_name(FaultKind kind) {
  return kFaultNames[static_cast<std::size_t>(kind)];
}

}  // namespace leeward::sim
