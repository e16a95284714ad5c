#include "control/analysis/density_correction.hpp"

#include <cmath>

#include "control/physics/moist_air.hpp"
#include "control/physics/standard_atmosphere.hpp"

namespace leeward::control {

namespace {
double ln_density_ratio(const Air& leak, const Air& reference) {
  return std::log(leak.density / reference.density);
}
double ln_viscosity_ratio(const Air& leak, const Air& reference) {
  return std::log(air_viscosity(leak.temperature) / air_viscosity(reference.temperature));
}
}  // namespace

SiteAir site_air(const ConditionsSpec& conditions) noexcept {
  const AbsolutePressure p = conditions.has_barometric
                                 ? pascals_absolute(conditions.barometric_pa)
                                 : standard_pressure(geopotential_altitude_m(conditions.altitude_m));
  const Temperature indoor = celsius(conditions.indoor_c);
  const Temperature outdoor = celsius(conditions.outdoor_c);
  return {{indoor, moist_air_density(indoor, p, conditions.indoor_rh_frac)},
          {outdoor, moist_air_density(outdoor, p, conditions.outdoor_rh_frac)},
          p};
}

Air dry_air(Temperature t, AbsolutePressure p) noexcept { return {t, moist_air_density(t, p, 0)}; }

const Air& air_through_fan(Direction d, const SiteAir& site) noexcept {
  return d == Direction::depressurize ? site.indoor : site.outdoor;
}

const Air& air_into_leaks(Direction d, const SiteAir& site) noexcept {
  return air_through_fan(opposite(d), site);
}

double meter_factor(Direction d, const SiteAir& site, Density calibration) noexcept {
  return std::sqrt(calibration / air_through_fan(d, site).density);
}

double leak_factor(Direction d, const SiteAir& site) noexcept {
  return air_through_fan(d, site).density / air_into_leaks(d, site).density;
}

double reference_factor(double n, const Air& leak, const Air& reference, bool with_viscosity) noexcept {
  const double density_part = (1 - n) * ln_density_ratio(leak, reference);
  const double viscosity_part = with_viscosity ? (2 * n - 1) * ln_viscosity_ratio(leak, reference) : 0;
  return std::exp(density_part + viscosity_part);
}

double reference_factor_slope(const Air& leak, const Air& reference, bool with_viscosity) noexcept {
  const double viscosity_part = with_viscosity ? 2 * ln_viscosity_ratio(leak, reference) : 0;
  return viscosity_part - ln_density_ratio(leak, reference);
}

}  // namespace leeward::control
