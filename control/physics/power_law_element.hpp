#pragma once

#include "control/result.hpp"
#include "control/units.hpp"

namespace leeward::control {

/// A leak or restriction whose flow follows a power of its pressure difference:
/// flow = C * |dp|^n * sign(dp).
///
/// Units    C in m^3/(s Pa^n): its unit depends on n, so C is a double with a suffix.
/// Shape    one scalar in, one scalar out; no state, safe to share between threads.
/// Range    odd and continuous; within +-laminar_below a straight line of equal end value
///          replaces the power law, whose slope is infinite at zero when n < 1.
/// Errors   only make() can fail; flow() and pressure() take every finite value and give NaN for NaN.
/// Source   power-law leakage relation, ISO 9972:2015; the straight part is ours.
class PowerLawElement {
 public:
  /// @param c_m3_s_pan     C, above 0
  /// @param n              exponent, 0.5 (orifice) to 1.0 (laminar)
  /// @param laminar_below  half-width of the straight part, above 0
  [[nodiscard]] static Result<PowerLawElement> make(double c_m3_s_pan, double n,
                                                    PressureDiff laminar_below = pascals(0.1));
  [[nodiscard]] VolumeFlow flow(PressureDiff dp) const noexcept;
  /// The pressure difference that makes a flow: the inverse of flow().
  [[nodiscard]] PressureDiff pressure(VolumeFlow q) const noexcept;
  [[nodiscard]] double c_m3_s_pan() const noexcept { return c_m3_s_pan_; }
  [[nodiscard]] double n() const noexcept { return n_; }
  bool operator==(const PowerLawElement&) const = default;

 private:
  PowerLawElement(double c_m3_s_pan, double n, double straight_below_pa);
  double c_m3_s_pan_;
  double n_;
  double straight_below_pa_;
  double straight_below_m3_s_;
  double straight_slope_m3_s_pa_;
};

}  // namespace leeward::control
