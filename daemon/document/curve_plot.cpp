#include "daemon/document/curve_plot.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::daemon {

namespace {

bool curve_known(const control::FitResult& fit) {
  return fit.c_m3_s_pan.known && fit.n.known && fit.c_m3_s_pan.value > 0 && std::isfinite(fit.n.value);
}

double half_width_of_ln(const control::Interval& v) {
  const bool usable = v.known && v.low > 0 && v.high > v.low && std::isfinite(v.high);
  return usable ? 0.5 * std::log(v.high / v.low) : 0;
}

double squared(double v) { return v * v; }

}  // namespace

std::vector<CurvePoint> points_of(const control::DirectionResult& direction) {
  std::vector<CurvePoint> out;
  for (const control::StationResult& s : direction.stations) {
    if (!(s.induced_pa > 0) || !(s.flow_m3_s > 0) || !std::isfinite(s.induced_pa)) continue;
    double flow = s.flow_m3_s * direction.reference_factor;
    const double residual = std::isfinite(s.residual) ? s.residual : 0;
    if (curve_known(direction.own)) flow = flow_at(direction.own, 1, s.induced_pa).value * std::exp(residual);
    if (flow > 0 && std::isfinite(flow)) out.push_back({s.induced_pa, flow, residual});
  }
  return out;
}

/// The intervals of C, of n and of the flow at the reference pressure give the covariance of C and n, and so
/// the interval anywhere; at the reference pressure it is the stated one.
CurveFlow flow_at(const control::FitResult& fit, double reference_pa, double pressure_pa) {
  if (!curve_known(fit) || !(pressure_pa > 0)) return {};
  const double value = fit.c_m3_s_pan.value * std::pow(pressure_pa, fit.n.value);
  const double of_c = squared(half_width_of_ln(fit.c_m3_s_pan));
  const double of_n = squared((fit.n.high - fit.n.low) / 2);
  const double x_ref = std::log(std::max(reference_pa, 1e-3));
  const double of_q = squared(half_width_of_ln(fit.q_ref_m3_s));
  const double shared = std::abs(x_ref) > 1e-6 ? (of_q - of_c - squared(x_ref) * of_n) / (2 * x_ref) : 0;
  const double x = std::log(pressure_pa);
  const double half = std::sqrt(std::max(0.0, of_c + 2 * x * shared + squared(x) * of_n));
  return {value, value * std::exp(-half), value * std::exp(half)};
}

Axis curve_pressure_axis(const ReportData& data) {
  const double reference = data.record.procedure.reference_pressure_pa;
  double low = reference > 0 ? reference : 50;
  double high = low;
  for (const control::DirectionResult& d : data.result.directions)
    for (const CurvePoint& p : points_of(d)) {
      low = std::min(low, p.pressure_pa);
      high = std::max(high, p.pressure_pa);
    }
  return log_axis(low, high);
}

}  // namespace leeward::daemon
