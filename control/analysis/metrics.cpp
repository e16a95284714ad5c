#include "control/analysis/metrics.hpp"

#include <cmath>

namespace leeward::control {

double hourly_flow_per(VolumeFlow flow, double size) noexcept { return in_m3_per_h(flow) / size; }

double leakage_area_m2(VolumeFlow flow, PressureDiff dp, Density air, double discharge_coefficient) noexcept {
  return flow.si() * std::sqrt(air.si() / (2 * dp.si())) / discharge_coefficient;
}

double normalized_leakage(double ela4_m2, double floor_area_m2, double height_m,
                          double height_exponent) noexcept {
  return 1000 * ela4_m2 / floor_area_m2 * std::pow(height_m / 2.5, height_exponent);
}

double normalized_leakage_area_cm2_m2(double eqla10_m2, double envelope_area_m2) noexcept {
  return 1e4 * eqla10_m2 / envelope_area_m2;
}

VolumeFlow single_point_flow(VolumeFlow measured, PressureDiff at, PressureDiff wanted, double n) noexcept {
  return std::pow(wanted / at, n) * measured;
}

double single_point_u_frac(PressureDiff at, PressureDiff wanted, double n, double u_flow_frac,
                           PressureDiff u_pressure, double u_n) noexcept {
  return std::hypot(u_flow_frac, n * (u_pressure / at), u_n * std::log(wanted / at));
}

double two_point_exponent(VolumeFlow q1, PressureDiff p1, VolumeFlow q2, PressureDiff p2) noexcept {
  return std::log(q1 / q2) / std::log(p1 / p2);
}

}  // namespace leeward::control
