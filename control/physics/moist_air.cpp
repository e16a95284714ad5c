#include "control/physics/moist_air.hpp"

#include <cmath>

namespace leeward::control {

namespace {
constexpr double kDryAirJPerKgK = 287.055;
constexpr double kVapourJPerKgK = 461.52;

double saturation_pressure_pa(Temperature t) {
  const double t_c = in_celsius(t);
  return 611.2 * std::exp(17.62 * t_c / (243.12 + t_c));
}
}  // namespace

Density moist_air_density(Temperature t, AbsolutePressure p, double rh_frac) noexcept {
  const double vapour_pa = rh_frac * saturation_pressure_pa(t);
  const double dry_pa = p.si() - vapour_pa;
  return kg_per_m3((dry_pa / kDryAirJPerKgK + vapour_pa / kVapourJPerKgK) / t.si());
}

Viscosity air_viscosity(Temperature t) noexcept {
  return pascal_seconds(1.458e-6 * t.si() * std::sqrt(t.si()) / (t.si() + 110.4));
}

}  // namespace leeward::control
