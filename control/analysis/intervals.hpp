#pragma once
/// Intervals of figures, plain and about a logarithm.

#include "control/analysis/curve_uncertainty.hpp"

namespace leeward::control {

[[nodiscard]] Interval interval_about(double value, double half_width) noexcept;

/// Interval of exp(ln_value): of a figure that is a product.
[[nodiscard]] Interval interval_about_log(double ln_value, double half_width_of_ln) noexcept;

struct CurveIntervals {
  Interval c_m3_s_pan;
  Interval n;
  Interval q_ref_m3_s;
};
[[nodiscard]] CurveIntervals curve_intervals(const UncertainCurve& curve, double reference_pa,
                                             double confidence) noexcept;

/// Flow at a pressure times a factor, such as 3600 / volume.
/// @param more_u_frac  relative standard uncertainty of the factor
[[nodiscard]] Interval flow_interval(const UncertainCurve& curve, double pressure_pa, double confidence,
                                     double factor = 1, double more_u_frac = 0) noexcept;

}  // namespace leeward::control
