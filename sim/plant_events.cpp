#include <algorithm>
#include <cmath>

#include "sim/plant.hpp"

namespace leeward::sim {

void Plant::set_event(Event event, bool on, double size, int fan) {
  const double stated = std::isfinite(size) && size != 0 ? size : usual_size(event);
  const double amount = on ? stated : 0;
  switch (event) {
    case Event::door_open:
      zone_.set_door(std::clamp(amount, 0.0, 50.0), air_);
      find_rest();
      return;
    case Event::exhaust_fan:
      exhaust_m3_s_ = std::clamp(amount, -20.0, 20.0);
      find_rest();
      return;
    case Event::fan_blocked:
      if (!has(fan)) return;
      at(fan).blocked_part = std::clamp(amount, 0.0, 1.0);
      set_fan(at(fan));
      return;
    case Event::fan_stalled:
      if (has(fan)) at(fan).stalled = on;
      return;
    case Event::signal_tube_off:
      if (has(fan)) at(fan).gauge.fault.tube_off = on;
      return;
    case Event::signal_gauge_stuck:
      if (has(fan)) at(fan).gauge.fault.stuck = on;
      return;
    default:
      set_building_gauge_event(event, on, amount);
  }
}

void Plant::set_building_gauge_event(Event event, bool on, double amount) {
  constexpr double s_in_10min = 600;
  switch (event) {
    case Event::building_tube_off:
      building_gauge_.fault.tube_off = on;
      return;
    case Event::building_tube_kinked:
      building_gauge_.set_kink(std::clamp(amount, 0.0, 1e3));
      return;
    case Event::building_tubes_swapped:
      building_gauge_.fault.swapped = on;
      return;
    case Event::building_gauge_stuck:
      building_gauge_.fault.stuck = on;
      return;
    case Event::building_gauge_drift:
      building_gauge_.fault.drift_pa_s = std::clamp(amount, -1e3, 1e3) / s_in_10min;
      return;
    case Event::building_water_in_tube:
      building_gauge_.fault.shift_pa = std::clamp(amount, -1e3, 1e3);
      return;
    default:
      return;
  }
}

}  // namespace leeward::sim
