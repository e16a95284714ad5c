#include "sim/house_range.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {

namespace {

void cut(double& value, double low, double high) {
  value = std::clamp(std::isfinite(value) ? value : 0.0, low, high);
}

template <class Enum>
void cut(Enum& value, Enum last) {
  if (value > last) value = last;
}

void cut_leak(LeakSpec& leak) {
  cut(leak.c_m3_s_pan, 0, 1e3);
  cut(leak.n, 0.5, 1);
  cut(leak.height_m, -1e3, 1e3);
  cut(leak.wind_cp, -10, 10);
  cut(leak.facade, Facade::floor);
}

void cut_wind(WindSpec& wind) {
  cut(wind.mean_m_s, 0, 60);
  cut(wind.shelter_factor, 0, 3);
  cut(wind.turbulence_intensity, 0, 2);
  cut(wind.length_scale_m, 0.1, 1e4);
  cut(wind.spectrum, SpectrumKind::kaimal);
  cut(wind.slow_change_frac, 0, 2);
  cut(wind.slow_change_s, 0, 1e6);
  cut(wind.coherence_decay, 0, 1e3);
  cut(wind.face_distance_m, 0, 1e4);
  cut(wind.face_size_m, 0, 1e4);
}

void cut_fan(FanUnitSpec& unit) {
  if (unit.fan.restrictions.empty()) unit.fan.restrictions = demo_fan().restrictions;
  for (control::RestrictionSpec& restriction : unit.fan.restrictions) {
    cut(restriction.k_m3_s_pam, 1e-6, 1e3);
    cut(restriction.m, 0.3, 1);
    cut(restriction.loss_frac, 0, 1);
  }
  cut(unit.fan.density_kg_m3, 0.1, 10);
  const int last = static_cast<int>(unit.fan.restrictions.size()) - 1;
  unit.fan.fitted = std::clamp(unit.fan.fitted, 0, last);
  cut(unit.drive.slew_s_full, 0.01, 1e4);
  cut(unit.drive.lag_s, 0, 1e4);
  cut(unit.drive.dead_band_frac, 0, 0.9);
  cut(unit.drive.least_speed_frac, 0, 1);
  cut(unit.head_factor, 0.1, 10);
  cut(unit.resistance_factor, 0.1, 10);
  cut(unit.height_m, -1e3, 1e3);
  cut(unit.wind_cp, -10, 10);
  cut(unit.facade, Facade::floor);
}

void cut_sensor(SensorSpec& sensor) {
  cut(sensor.lag_s, 0, 1e3);
  cut(sensor.noise_pa, 0, 1e3);
  cut(sensor.resolution_pa, 0, 1e3);
  cut(sensor.drift_pa_per_10min, 0, 1e3);
  cut(sensor.zero_pa, -1e3, 1e3);
}

}  // namespace

HouseSpec cut_to_range(HouseSpec house) {
  cut(house.volume_m3, 1, 1e7);
  cut(house.envelope_area_m2, 0, 1e7);
  cut(house.floor_area_m2, 0, 1e7);
  cut(house.height_m, 0, 1e3);
  cut(house.flexibility, 0, 100);
  cut(house.polytropic_index, 1, 1.4);
  cut(house.indoor_c, -60, 80);
  cut(house.outdoor_c, -60, 80);
  cut(house.indoor_rh_frac, 0, 1);
  cut(house.outdoor_rh_frac, 0, 1);
  cut(house.altitude_m, -400, 8000);
  cut(house.barometric_pa, 0, 1.2e5);
  if (house.barometric_pa < 3e4) house.barometric_pa = 0;
  cut(house.tap_cp, -10, 10);
  cut(house.tap_height_m, -1e3, 1e3);
  for (LeakSpec& leak : house.leaks) cut_leak(leak);
  cut_wind(house.wind);
  for (FanUnitSpec& unit : house.fans) cut_fan(unit);
  cut_sensor(house.sensors.building);
  cut_sensor(house.sensors.signal);
  return house;
}

}  // namespace leeward::sim
