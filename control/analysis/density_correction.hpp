#pragma once
/// From the flow that the fan's element shows to the flow through the leaks, and on to reference air.
/// Depressurizing, indoor air passes the fan and outdoor air enters the leaks; pressurizing, the reverse.

#include "control/procedure/building_spec.hpp"
#include "control/procedure/procedure_spec.hpp"
#include "control/signs.hpp"
#include "control/units.hpp"

namespace leeward::control {

struct Air {
  Temperature temperature;
  Density density;
};

/// The air on both sides of the envelope.
struct SiteAir {
  Air indoor;
  Air outdoor;
  AbsolutePressure barometric;
};

/// Range   without a barometer the standard atmosphere at the altitude, taken as geometric (a map's)
[[nodiscard]] SiteAir site_air(const ConditionsSpec& conditions) noexcept;

/// Dry air at a temperature and pressure: the reference of the standards, 1.2041 kg/m3 at 20 C and 101325 Pa.
[[nodiscard]] Air dry_air(Temperature t, AbsolutePressure p) noexcept;

[[nodiscard]] const Air& air_through_fan(Direction d, const SiteAir& site) noexcept;
[[nodiscard]] const Air& air_into_leaks(Direction d, const SiteAir& site) noexcept;

/// True flow through the fan / flow as read, for an element that reads a pressure drop.
[[nodiscard]] double meter_factor(Direction d, const SiteAir& site, Density calibration) noexcept;

/// Flow into the leaks / flow through the fan: the mass is the same.
[[nodiscard]] double leak_factor(Direction d, const SiteAir& site) noexcept;

/// C at reference air / C at the leak's air. Between an orifice (n = 0.5, density alone) and laminar flow
/// (n = 1, viscosity alone): (rho_leak / rho_ref)^(1 - n) * (mu_leak / mu_ref)^(2 n - 1).
/// @param with_viscosity  false leaves the second factor out, as ISO 9972 does; ASTM E779 keeps it
[[nodiscard]] double reference_factor(double n, const Air& leak, const Air& reference,
                                      bool with_viscosity) noexcept;

/// d ln(reference_factor) / dn
[[nodiscard]] double reference_factor_slope(const Air& leak, const Air& reference,
                                            bool with_viscosity) noexcept;

}  // namespace leeward::control
