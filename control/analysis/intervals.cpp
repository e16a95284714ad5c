#include "control/analysis/intervals.hpp"

namespace leeward::control {

Interval interval_about(double value, double half_width) noexcept {
  return {true, value, value - half_width, value + half_width};
}

Interval interval_about_log(double ln_value, double half_width_of_ln) noexcept {
  return {true, std::exp(ln_value), std::exp(ln_value - half_width_of_ln),
          std::exp(ln_value + half_width_of_ln)};
}

CurveIntervals curve_intervals(const UncertainCurve& curve, double reference_pa, double confidence) noexcept {
  return {interval_about_log(curve.ln_c, half_width(curve.u, kFormLnC, confidence)),
          interval_about(curve.n, half_width(curve.u, kFormN, confidence)),
          flow_interval(curve, reference_pa, confidence)};
}

Interval flow_interval(const UncertainCurve& curve, double pressure_pa, double confidence, double factor,
                       double more_u_frac) noexcept {
  const LinearForm form = form_ln_flow_at(pressure_pa);
  const double ln_value = curve.ln_c + form.n * curve.n + std::log(factor);
  return interval_about_log(ln_value, half_width(curve.u, form, confidence, more_u_frac));
}

}  // namespace leeward::control
