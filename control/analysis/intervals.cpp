#include "control/analysis/intervals.hpp"

#include "control/analysis/student_t.hpp"

namespace leeward::control {

namespace {

/// The two-sided confidence of the interval whose upper end is the one-sided bound; at 50 % its width is 0.
double one_sided_as_two(double confidence) { return std::fmax(1e-12, 2 * confidence - 1); }

}  // namespace

HalfWidth student_half_width(double confidence, double degrees_of_freedom, double u) noexcept {
  return {student_t_two_sided(confidence, degrees_of_freedom) * u,
          student_t_two_sided(one_sided_as_two(confidence), degrees_of_freedom) * u};
}

HalfWidth half_width_of(const CurveUncertainty& u, LinearForm form, double confidence,
                        double more_u) noexcept {
  return {half_width(u, form, confidence, more_u), half_width(u, form, one_sided_as_two(confidence), more_u)};
}

Interval interval_about(double value, HalfWidth half) noexcept {
  return {true, value, value - half.two_sided, value + half.two_sided, value + half.one_sided};
}

Interval interval_about_log(double ln_value, HalfWidth half_of_ln) noexcept {
  return {true, std::exp(ln_value), std::exp(ln_value - half_of_ln.two_sided),
          std::exp(ln_value + half_of_ln.two_sided), std::exp(ln_value + half_of_ln.one_sided)};
}

CurveIntervals curve_intervals(const UncertainCurve& curve, double reference_pa, double confidence) noexcept {
  return {interval_about_log(curve.ln_c, half_width_of(curve.u, kFormLnC, confidence)),
          interval_about(curve.n, half_width_of(curve.u, kFormN, confidence)),
          flow_interval(curve, reference_pa, confidence),
          flows_at([&](double pa) { return flow_interval(curve, pa, confidence); })};
}

Interval flow_interval(const UncertainCurve& curve, double pressure_pa, double confidence, double factor,
                       double more_u_frac) noexcept {
  const LinearForm form = form_ln_flow_at(pressure_pa);
  const double ln_value = curve.ln_c + form.n * curve.n + std::log(factor);
  return interval_about_log(ln_value, half_width_of(curve.u, form, confidence, more_u_frac));
}

}  // namespace leeward::control
