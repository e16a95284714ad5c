#pragma once
/// What happened in a tick that someone may want to know. Numbers only; texts are made at the faces.

#include <cstdint>

#include "control/fixed_vector.hpp"

namespace leeward::control {

enum class EventKind : std::uint8_t {
  phase_changed,         ///< a = new phase, b = old phase
  run_started,           ///< a = direction choice; taken up again: b = stations kept, x = seconds since
  run_ended,             ///< a = run state
  ask_opened,            ///< a = ask id, b = ask kind
  ask_answered,          ///< a = ask id, b = answer
  ask_withdrawn,         ///< a = ask id
  baseline_taken,        ///< a = 0 before, 1 after; x = mean [Pa], y = its standard error [Pa]
  station_begun,         ///< a = station index; x = target [Pa]
  station_done,          ///< a = station index; x = induced size [Pa], y = flow as read [m3/s]
  station_unreachable,   ///< a = station index; x = target [Pa], y = highest reached [Pa]
  restriction_fitted,    ///< a = fan, b = restriction index
  restriction_mismatch,  ///< a = fan, b = restriction that the signal fits better; x = flow ratio seen
  countdown_started,     ///< x = seconds
  tripped,               ///< a = cause, b = stop mode; x = seen, y = limit
  trip_cleared,          ///< a = cause
  limited,               ///< a = limit reason (see LimitedBy); x = pressure [Pa]
  sample_gap,            ///< a = periods skipped
  tick_late,             ///< a = periods missed
  sensor_lost,           ///< a = 0 building pressure, 1.. fan signal; b = quality
  sensor_back,           ///< a as above
  hold_started,          ///< x = target [Pa], y = rate [Pa/s]
  hold_ended,            ///< a = 0 stopped, 1 time over
  paused,
  resumed,
  result_ready,     ///< a = 1 valid, 0 not
  too_windy,        ///< x = pressure [Pa] with the fan at rest; the run ends, nothing is tripped
  nobody_answered,  ///< a = 0 a pause, 1 the look-round; x = seconds waited with the fan running
  request_refused,  ///< a = request kind, b = refusal
  drive_experiment_begun,
  drive_experiment_ended,  ///< a = 1 where it ran its whole course; x = highest pressure [Pa], y = seconds
  drive_told,              ///< x = slew [s], y = lag [s]
  presence_due,  ///< x = seconds left for a sign of life, y = the interval; a = 1 the pressure is low already
  presence_lowered,  ///< x = seconds without a sign of life, y = the pressure to go down to [Pa]
  presence_back      ///< a sign has come; the pressure stays low until the crew says so
};

struct Event {
  EventKind kind = EventKind::phase_changed;
  std::int64_t a = 0;
  std::int64_t b = 0;
  double x = 0;
  double y = 0;
  bool operator==(const Event&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("kind", &Event::kind);
    v("a", &Event::a);
    v("b", &Event::b);
    v("x", &Event::x);
    v("y", &Event::y);
  }
};

/// Room for the longest tick: a full list of asks withdrawn, another opened, and what goes with it.
using Events = FixedVector<Event, 128>;

}  // namespace leeward::control
