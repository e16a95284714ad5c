#pragma once
/// Density and viscosity of air as the density corrections need them.

#include "control/units.hpp"

namespace leeward::control {

/// Density of moist air as a mixture of two ideal gases.
/// Range    rh_frac 0 to 1; good to 1e-3 relative from -10 to 35 degrees C near one atmosphere, where the
///          compressibility that is left out is below 8e-4
/// Source   gas constants of dry air and of water vapour; saturation pressure by the Magnus form
[[nodiscard]] Density moist_air_density(Temperature t, AbsolutePressure p, double rh_frac) noexcept;

/// Dynamic viscosity of air.
/// Source   Sutherland's law with the constants of the viscosity formula of ASTM E779
[[nodiscard]] Viscosity air_viscosity(Temperature t) noexcept;

}  // namespace leeward::control
