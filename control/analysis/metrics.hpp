#pragma once
/// Figures derived from a leakage curve q = C p^n. SI in; out as the name says.

#include "control/units.hpp"

namespace leeward::control {

/// Flow an hour through each unit of a size: air changes [1/h] for a volume, permeability [m3/(h m2)] for an
/// area. Range   size above 0
[[nodiscard]] double hourly_flow_per(VolumeFlow flow, double size) noexcept;

/// Area of the hole that passes a flow at a pressure by the orifice law.
[[nodiscard]] double leakage_area_m2(VolumeFlow flow, PressureDiff dp, Density air,
                                     double discharge_coefficient) noexcept;

inline constexpr double kEla4Pa = 4;
inline constexpr double kEla4DischargeCoefficient = 1;
inline constexpr double kEqla10Pa = 10;
inline constexpr double kEqla10DischargeCoefficient = 0.611;

/// NL: 1000 * ELA4 / floor area * (height / 2.5 m)^exponent.
/// Source   ASHRAE 119 with exponent 0.3; ASHRAE 62.2 uses 0.4 (from memory)
[[nodiscard]] double normalized_leakage(double ela4_m2, double floor_area_m2, double height_m,
                                        double height_exponent = 0.3) noexcept;

/// NLA: EqLA10 per envelope area, in cm2/m2.
[[nodiscard]] double normalized_leakage_area_cm2_m2(double eqla10_m2, double envelope_area_m2) noexcept;

/// Flow at another pressure by an exponent that is assumed.
[[nodiscard]] VolumeFlow single_point_flow(VolumeFlow measured, PressureDiff at, PressureDiff wanted,
                                           double n) noexcept;

/// Relative standard uncertainty of single_point_flow().
/// @param u_flow_frac  of the measured flow, relative
/// @param u_pressure   of the measured pressure, zero-flow part included
[[nodiscard]] double single_point_u_frac(PressureDiff at, PressureDiff wanted, double n, double u_flow_frac,
                                         PressureDiff u_pressure, double u_n) noexcept;

/// Exponent through two points.
[[nodiscard]] double two_point_exponent(VolumeFlow q1, PressureDiff p1, VolumeFlow q2,
                                        PressureDiff p2) noexcept;

}  // namespace leeward::control
