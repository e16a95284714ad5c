#pragma once
/// Barometric pressure from altitude, for a site without a barometer.

#include "control/units.hpp"

namespace leeward::control {

/// Station pressure of the standard atmosphere at a geopotential altitude.
/// Units    m above sea level
/// Range    troposphere, -5000 to 11000 m
/// Source   ISO 2533 / US Standard Atmosphere 1976
[[nodiscard]] AbsolutePressure standard_pressure(double geopotential_altitude_m) noexcept;

/// Geopotential altitude of a geometric one (as a map gives it); 0.6 m less at 2000 m.
[[nodiscard]] double geopotential_altitude_m(double geometric_altitude_m) noexcept;

}  // namespace leeward::control
