#pragma once
/// The leakage curve of the house, learnt while the fan runs: ln Q = ln C + n ln P.

#include "control/estimate/linear_pair.hpp"

namespace leeward::control {

/// Learnt about the logarithm of P over a pivot inside the usual range, where level and slope are
/// nearly independent. Flow is as read, at the fan's calibration density.
struct HouseCurve {
  LinearPair pair;        ///< a = ln Q at the pivot, b = exponent n
  double informed_s = 0;  ///< time spent with usable readings
  bool operator==(const HouseCurve&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("pair", &HouseCurve::pair);
    v("informed_s", &HouseCurve::informed_s);
  }
  static constexpr double pivot_pa = 20.0;
};

/// One usable reading of the house.
struct HouseReading {
  double dt_s = 0;
  double pressure_pa = 0;      ///< induced size
  double pressure_u_pa = 0.3;  ///< standard uncertainty of one reading, gusts included
  double flow_m3_s = 0;        ///< total, as read
  double flow_relative_u = 0.02;
  double storage_flow_m3_s = 0;  ///< size of the flow that goes into compressing the air just now
};

/// What is believed before the first reading: a house of middling leakage for its volume.
/// @param volume_m3  0 where not told: then a middling house is assumed and trusted less
/// Source  exponent 0.65 +- 0.07: AIVC TN 44, component tests (from memory)
[[nodiscard]] HouseCurve house_prior(double volume_m3) noexcept;

/// Takes one reading in. Readings too low to tell anything leave the curve as it is.
[[nodiscard]] HouseCurve learn(const HouseCurve& curve, const HouseReading& reading) noexcept;

/// For the other direction of flow: the same house, but flaps and seals may behave differently.
[[nodiscard]] HouseCurve for_other_direction(const HouseCurve& curve) noexcept;

[[nodiscard]] double ln_c(const HouseCurve& curve) noexcept;  ///< C in m3/(s Pa^n)
[[nodiscard]] double exponent(const HouseCurve& curve) noexcept;
/// Flow at an induced pressure, as read. 0 at or below 0 Pa.
[[nodiscard]] double flow_at(const HouseCurve& curve, double pressure_pa) noexcept;
/// Relative standard uncertainty of flow_at().
[[nodiscard]] double flow_relative_u_at(const HouseCurve& curve, double pressure_pa) noexcept;

}  // namespace leeward::control
