#include "control/physics/standard_atmosphere.hpp"

#include <cmath>

namespace leeward::control {

namespace {
constexpr double kSeaLevelPa = 101325.0;
constexpr double kSeaLevelK = 288.15;
constexpr double kLapseKPerM = 0.0065;
constexpr double kGravityMPerS2 = 9.80665;
constexpr double kAirJPerKgK = 287.05287;
constexpr double kEarthRadiusM = 6356766.0;
}  // namespace

AbsolutePressure standard_pressure(double geopotential_altitude_m) noexcept {
  constexpr double exponent = kGravityMPerS2 / (kAirJPerKgK * kLapseKPerM);
  const double temperature_ratio = 1.0 - kLapseKPerM * geopotential_altitude_m / kSeaLevelK;
  return pascals_absolute(kSeaLevelPa * std::pow(temperature_ratio, exponent));
}

double geopotential_altitude_m(double geometric_altitude_m) noexcept {
  return kEarthRadiusM * geometric_altitude_m / (kEarthRadiusM + geometric_altitude_m);
}

}  // namespace leeward::control
