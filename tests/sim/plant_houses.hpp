#pragma once
/// Houses and acts that several test files of the plant share.

#include <cmath>

#include "sim/plant.hpp"

namespace leeward::sim::plant_houses {

/// Gauges without fault, no wind, no temperature difference, air of 1.2041 kg/m3.
inline HouseSpec calm_house() {
  HouseSpec house;
  house.indoor_c = house.outdoor_c = 20;
  house.barometric_pa = 101325;
  house.wind.mean_m_s = 0;
  house.sensors.building = {.lag_s = 0.3, .noise_pa = 0, .resolution_pa = 0, .drift_pa_per_10min = 0};
  house.sensors.signal = house.sensors.building;
  return house;
}

inline HouseSpec one_leak_house(double c_m3_s_pan, double n, double height_m = 0) {
  HouseSpec house = calm_house();
  house.leaks.clear();
  house.leaks.push_back({.name = "only", .c_m3_s_pan = c_m3_s_pan, .n = n, .height_m = height_m});
  return house;
}

inline void run(Plant& plant, double seconds, double dt_s = 0.1) {
  for (int i = 0; i < static_cast<int>(std::lround(seconds / dt_s)); ++i) plant.step(dt_s);
}

inline void drive(Plant& plant, double demand_frac, double seconds, double dt_s = 0.1) {
  plant.set_covered(false);
  plant.set_command(demand_frac, true);
  run(plant, seconds, dt_s);
}

}  // namespace leeward::sim::plant_houses
