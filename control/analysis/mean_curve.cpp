#include "control/analysis/mean_curve.hpp"

namespace leeward::control {

namespace {

/// How the mean curve moves with one of its two: the flow at the reference by its share, the exponent by
/// half.
CurveMap share_of_mean(double share, double x_ref) { return {share, (share - 0.5) * x_ref, 0.5}; }

}  // namespace

UncertainCurve mean_curve(const UncertainCurve& a, const UncertainCurve& b, double reference_pa) noexcept {
  const double x_ref = std::log(reference_pa);
  const double q_a = std::exp(a.ln_c + a.n * x_ref);
  const double q_b = std::exp(b.ln_c + b.n * x_ref);
  const double share_a = q_a / (q_a + q_b);
  UncertainCurve mean;
  mean.n = 0.5 * (a.n + b.n);
  mean.ln_c = std::log(0.5 * (q_a + q_b)) - mean.n * x_ref;
  mean.u =
      combined(mapped(a.u, share_of_mean(share_a, x_ref)), mapped(b.u, share_of_mean(1 - share_a, x_ref)));
  return mean;
}

}  // namespace leeward::control
