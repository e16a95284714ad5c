#include "sim/zone.hpp"

#include <cmath>

#include "control/physics/moist_air.hpp"

namespace leeward::sim {

namespace {

constexpr double kReferenceDensity = 1.2041;

double mass_coefficient(double c_m3_s_pan, double n, double kg_m3, double pa_s) {
  const double reference_pa_s = control::air_viscosity(control::celsius(20)).si();
  return kg_m3 * c_m3_s_pan * std::pow(kg_m3 / kReferenceDensity, n - 1) *
         std::pow(pa_s / reference_pa_s, 1 - 2 * n);
}

}  // namespace

Air air_of(const HouseSpec& house) {
  const auto barometer = control::pascals_absolute(barometric_pressure_pa(house));
  const auto indoor = control::celsius(house.indoor_c);
  const auto outdoor = control::celsius(house.outdoor_c);
  return {.indoor_kg_m3 = control::moist_air_density(indoor, barometer, house.indoor_rh_frac).si(),
          .outdoor_kg_m3 = control::moist_air_density(outdoor, barometer, house.outdoor_rh_frac).si(),
          .indoor_pa_s = control::air_viscosity(indoor).si(),
          .outdoor_pa_s = control::air_viscosity(outdoor).si()};
}

Zone::Zone(const HouseSpec& house, const Air& air) : leaks_(house.leaks.size()) {
  for (std::size_t i = 0; i < leaks_; ++i) {
    const LeakSpec& leak = house.leaks[i];
    set_leak(i, leak.c_m3_s_pan, leak.n, leak.height_m, air);
    if (leak.outward_only) c_in_.set(i, 0);
  }
  set_door(0, air);
}

void Zone::set_leak(std::size_t slot, double c_m3_s_pan, double n, double height_m, const Air& air) {
  n_less_1_.set(slot, n - 1);
  c_in_.set(slot, mass_coefficient(c_m3_s_pan, n, air.outdoor_kg_m3, air.outdoor_pa_s));
  c_out_.set(slot, mass_coefficient(c_m3_s_pan, n, air.indoor_kg_m3, air.indoor_pa_s));
  stack_pa_.set(slot, air.stack_pa(height_m));
  offset_pa_.set(slot, stack_pa_.get(slot));
}

void Zone::set_door(double area_m2, const Air& air) {
  constexpr double discharge = 0.6;
  set_leak(leaks_, discharge * area_m2 * std::sqrt(2 / kReferenceDensity), 0.5, 1, air);
  pairs_ = (leaks_ + (area_m2 > 0 ? 2 : 1)) / 2;
}

}  // namespace leeward::sim
