#pragma once
/// How far a steady wind can shift the flow at an induced pressure, although the zero-flow pressure is taken
/// off: the wind loads the leaks unevenly, and the power law is no straight line.

namespace leeward::control {

/// Leaks on two faces of a building with the same exponent.
struct TwoLeaks {
  double windward_share = 0.5;  ///< of the leakage coefficient, above 0 and below 1
  double n = 0.65;
  double windward_pa = 0;  ///< pressure of the wind on each face, against the still air
  double leeward_pa = 0;
};

/// Pressure indoors, against the still air, with the fan covered: the flows through both leaks cancel.
[[nodiscard]] double zero_flow_pressure_pa(const TwoLeaks& leaks) noexcept;

/// Flow through the leaks at an induced pressure over the flow in still air, less 1.
/// @param induced_pa  signed, not 0
/// Source   mass balance of two leaks, as in F. R. Carrie and V. Leprince, AIVC conference 2014
[[nodiscard]] double wind_error_frac(const TwoLeaks& leaks, double induced_pa) noexcept;

/// The same to second order in wind pressure over induced pressure.
[[nodiscard]] double wind_error_expansion_frac(const TwoLeaks& leaks, double induced_pa) noexcept;

/// Largest size of wind_error_frac() in either direction over all shares, with 1 between the pressure
/// coefficients of the two faces.
/// Units    wind in m/s at the height of the building; the bound is relative
/// Range    no bound on gusts, whose scatter the interval holds
[[nodiscard]] double wind_bound(double wind_m_s, double n, double induced_pa) noexcept;

}  // namespace leeward::control
