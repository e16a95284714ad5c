#include "sim/house_spec.hpp"

#include <cmath>

#include "control/physics/standard_atmosphere.hpp"

namespace leeward::sim {

control::FanSpec demo_fan() {
  control::FanSpec fan;
  fan.name = "demo-fan";
  // Rise 300 - 45 q^2, invented.
  for (const double flow : {0.0, 0.4, 0.8, 1.2, 1.6, 2.0, 2.4})
    fan.curve.push_back({.flow_m3_s = flow, .rise_pa = 300 - 45 * flow * flow});
  const auto add = [&fan](const char* name, double k, double signal_max_pa, double loss_frac) {
    fan.restrictions.push_back({.name = name,
                                .k_m3_s_pam = k,
                                .m = 0.5,
                                .signal_min_pa = 5,
                                .signal_max_pa = signal_max_pa,
                                .loss_frac = loss_frac});
  };
  // Each plate has about a third of the area of the one before; the curve holds for the open fan.
  add("bore-500", 0.204, 160, 0);
  add("bore-290", 0.0686, 320, 0.9);
  add("bore-165", 0.0222, 330, 0.9);
  add("bore-95", 0.00736, 330, 0.9);
  return fan;
}

Leaks demo_leaks() {
  Leaks leaks;
  // q50 of 0.33 m3/s in all, so C = 0.33 / 50^n, shared out as written.
  const auto add = [&leaks](const char* name, double share, double n, double height_m, double cp,
                            Facade facade) {
    leaks.push_back({.name = name,
                     .c_m3_s_pan = 0.33 * share / std::pow(50.0, n),
                     .n = n,
                     .height_m = height_m,
                     .wind_cp = cp,
                     .facade = facade});
  };
  add("wall-1-low", 0.08, 0.64, 1.3, 0.6, Facade::wall_1);
  add("wall-1-high", 0.07, 0.66, 3.9, 0.6, Facade::wall_1);
  add("wall-2-low", 0.07, 0.65, 1.3, -0.44, Facade::wall_2);
  add("wall-2-high", 0.06, 0.67, 3.9, -0.44, Facade::wall_2);
  add("wall-3-low", 0.09, 0.63, 1.3, -0.36, Facade::wall_3);
  add("wall-3-high", 0.06, 0.65, 3.9, -0.36, Facade::wall_3);
  add("wall-4-low", 0.06, 0.66, 1.3, -0.44, Facade::wall_4);
  add("wall-4-high", 0.06, 0.65, 3.9, -0.44, Facade::wall_4);
  add("ceiling", 0.28, 0.64, 5.4, -0.45, Facade::ceiling);
  add("floor", 0.17, 0.66, 0, -0.05, Facade::floor);
  return leaks;
}

FanUnits one_fan() {
  FanUnits fans;
  fans.push_back({});
  return fans;
}

double barometric_pressure_pa(const HouseSpec& house) {
  if (house.barometric_pa > 0) return house.barometric_pa;
  return control::standard_pressure(control::geopotential_altitude_m(house.altitude_m)).si();
}

}  // namespace leeward::sim
