#pragma once
/// A fan with four restrictions and houses for it, invented.

#include <cmath>
#include <vector>

#include "control/restriction/served_table.hpp"

namespace leeward::control {

inline FanSpec invented_fan() {
  FanSpec fan;
  fan.curve.push_back({0.0, 300.0});
  fan.curve.push_back({1.0, 255.0});
  fan.curve.push_back({2.0, 120.0});
  fan.curve.push_back({2.5, 0.0});
  fan.restrictions.push_back(
      {.name = "bore-500", .k_m3_s_pam = 0.204, .signal_min_pa = 5, .signal_max_pa = 160, .loss_frac = 0.1});
  fan.restrictions.push_back(
      {.name = "bore-290", .k_m3_s_pam = 0.068, .signal_min_pa = 5, .signal_max_pa = 250, .loss_frac = 0.9});
  fan.restrictions.push_back(
      {.name = "bore-165", .k_m3_s_pam = 0.0222, .signal_min_pa = 5, .signal_max_pa = 250, .loss_frac = 0.9});
  fan.restrictions.push_back(
      {.name = "bore-95", .k_m3_s_pam = 0.00736, .signal_min_pa = 5, .signal_max_pa = 250, .loss_frac = 0.9});
  return fan;
}

/// A house whose curve is known to the given standard uncertainties.
inline HouseCurve house_of(double q50_m3_h, double n, double level_u = 0, double exponent_u = 0) {
  HouseCurve h;
  h.pair.b = n;
  h.pair.a = std::log(q50_m3_h / 3600.0) - n * std::log(50.0 / HouseCurve::pivot_pa);
  h.pair.var_a = level_u * level_u;
  h.pair.cov_ab = 0;
  h.pair.var_b = exponent_u * exponent_u;
  return h;
}

/// A drive that is known to do as its curve says.
inline FanMap known_map() {
  FanMap map;
  map.pair = {0.0, 1.0, 1e-8, 0.0, 1e-8};
  return map;
}

inline const std::vector<double>& stations_down() {
  static const std::vector<double> stations{60, 52.9, 45.7, 38.6, 31.4, 24.3, 17.1, 10};
  return stations;
}

}  // namespace leeward::control
