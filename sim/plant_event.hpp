#pragma once
/// What may happen to a house or a rig during a test, each switched on and off by name.

#include <cstddef>
#include <cstdint>

namespace leeward::sim {

/// `size` of an event, in the unit stated here; 0 stands for the usual size in brackets.
enum class Event : std::uint8_t {
  door_open,               ///< an opening, m2 (0.5)
  exhaust_fan,             ///< air drawn out of the house, m3/s at indoor density (0.05); negative blows in
  fan_blocked,             ///< part of the fan's opening that is shut, 0..1 (0.9)
  fan_stalled,             ///< the wheel gets no torque and runs down; no size
  building_tube_off,       ///< off at the gauge: indoors is compared with indoors; no size
  building_tube_kinked,    ///< extra lag of the building pressure, s (8)
  building_tubes_swapped,  ///< the building pressure changes its sign; no size
  building_gauge_stuck,    ///< the reading stays as it is; no size
  building_gauge_drift,    ///< extra slope of the zero from now on, Pa in 10 min (2)
  building_water_in_tube,  ///< a shift of the building pressure, Pa (10)
  signal_tube_off,         ///< the fan-side signal falls to 0; no size
  signal_gauge_stuck,      ///< the reading stays as it is; no size
  count
};
inline constexpr std::size_t kEvents = static_cast<std::size_t>(Event::count);

/// Size of an event for which none was stated.
constexpr double usual_size(Event event) {
  switch (event) {
    case Event::door_open:
      return 0.5;
    case Event::exhaust_fan:
      return 0.05;
    case Event::fan_blocked:
      return 0.9;
    case Event::building_tube_kinked:
      return 8;
    case Event::building_gauge_drift:
      return 2;
    case Event::building_water_in_tube:
      return 10;
    default:
      return 1;
  }
}

}  // namespace leeward::sim
