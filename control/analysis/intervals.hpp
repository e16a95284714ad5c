#pragma once
/// Intervals of figures, plain and about a logarithm.

#include "control/analysis/curve_uncertainty.hpp"

namespace leeward::control {

/// How far a figure may be off: half the two-sided interval, and up to the one-sided bound of the same
/// confidence.
struct HalfWidth {
  double two_sided = 0;
  double one_sided = 0;
};

/// Both factors of Student's t times a standard uncertainty.
[[nodiscard]] HalfWidth student_half_width(double confidence, double degrees_of_freedom, double u) noexcept;

[[nodiscard]] HalfWidth half_width_of(const CurveUncertainty& u, LinearForm form, double confidence,
                                      double more_u = 0) noexcept;

[[nodiscard]] Interval interval_about(double value, HalfWidth half) noexcept;

/// Interval of exp(ln_value): of a figure that is a product.
[[nodiscard]] Interval interval_about_log(double ln_value, HalfWidth half_of_ln) noexcept;

struct CurveIntervals {
  Interval c_m3_s_pan;
  Interval n;
  Interval q_ref_m3_s;
  FlowsAt flows;
};
[[nodiscard]] CurveIntervals curve_intervals(const UncertainCurve& curve, double reference_pa,
                                             double confidence) noexcept;

/// Flow at a pressure times a factor, such as 3600 / volume.
/// @param more_u_frac  relative standard uncertainty of the factor
[[nodiscard]] Interval flow_interval(const UncertainCurve& curve, double pressure_pa, double confidence,
                                     double factor = 1, double more_u_frac = 0) noexcept;

/// @param at  gives the interval of the flow at a pressure in Pa
template <class At>
[[nodiscard]] FlowsAt flows_at(At at) {
  return {at(4.0), at(10.0), at(50.0), at(75.0)};
}

}  // namespace leeward::control
