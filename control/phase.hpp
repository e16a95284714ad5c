#pragma once
/// The words for where a run stands. The texts are the agreed ones of the interface.

#include <cstdint>

namespace leeward::control {

enum class Phase : std::uint8_t {
  idle,
  prepare,
  baseline,
  uncover,
  look_round,
  climb,
  stations,
  closing_baseline,
  restore,
  result,
  hold,
  tripped,
  learn_drive
};
enum class RunState : std::uint8_t { none, running, done, invalid, stopped, tripped, interrupted };

enum class TripCause : std::uint8_t {
  none,
  pressure_missing,
  pressure_frozen,
  pressure_out_of_range,
  signal_missing,
  over_pressure,
  pressure_rate,
  no_response,
  wrong_way,
  oscillation,
  missed_ticks,
  too_windy,
  fan_ignores_stop,
  drive_refuses,
  time_gap,
  no_sign_of_life
};
enum class StopMode : std::uint8_t { cut, ramp };

/// A latched stop. Stays until a person clears it.
struct Trip {
  TripCause cause = TripCause::none;
  StopMode mode = StopMode::cut;
  std::int64_t at_ns = 0;
  double seen = 0;   ///< the figure that tripped, in the cause's unit
  double limit = 0;  ///< what it was compared with
  [[nodiscard]] bool active() const { return cause != TripCause::none; }
  bool operator==(const Trip&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("cause", &Trip::cause);
    v("mode", &Trip::mode);
    v("at_ns", &Trip::at_ns);
    v("seen", &Trip::seen);
    v("limit", &Trip::limit);
  }
};

}  // namespace leeward::control
