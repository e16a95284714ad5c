#include "control/analysis/standard_fit.hpp"

#include <cmath>
#include <limits>

#include "control/analysis/intervals.hpp"
#include "control/analysis/log_log_fit.hpp"

namespace leeward::control {

namespace {

struct LogPoints {
  std::array<double, kMaxStations> pressure_pa{};
  std::array<double, kMaxStations> flow_m3_s{};
};

LineFit line_through(const GlsPoints& points) {
  LogPoints p;
  for (std::size_t i = 0; i < points.size(); ++i) {
    p.pressure_pa[i] = points[i].pressure_pa;
    p.flow_m3_s[i] = points[i].flow_m3_s;
  }
  return fit_log_log({p.pressure_pa.data(), points.size()}, {p.flow_m3_s.data(), points.size()});
}

/// Without shared errors: what the standards' intervals leave out.
GlsPoints without_scale_errors(GlsPoints points) {
  for (GlsPoint& p : points) p.u_scale_frac = 0;
  return points;
}

FitResult two_point_fit(const GlsPoints& points, const ProcedureSpec& procedure) {
  FitResult fit;
  const GlsFit gls = gls_fit(without_scale_errors(points), 0);
  if (!gls.ok) return fit;
  const CurveIntervals intervals =
      curve_intervals(gls.curve, procedure.reference_pressure_pa, procedure.confidence);
  fit.valid = true;
  fit.c_m3_s_pan = intervals.c_m3_s_pan;
  fit.n = intervals.n;
  fit.q_ref_m3_s = intervals.q_ref_m3_s;
  fit.flows = intervals.flows;
  fit.r2 = 1;
  return fit;
}

FitResult free_exponent_fit(const GlsPoints& points, const ProcedureSpec& procedure) {
  if (points.size() == 2) return two_point_fit(points, procedure);
  FitResult fit;
  const LineFit line = line_through(points);
  if (!line.ok) return fit;
  const auto half = [&](double se) {
    return student_half_width(procedure.confidence, line.degrees_of_freedom, se);
  };
  const auto flow_at = [&](double pa) {
    return interval_about_log(line.at(std::log(pa)), half(line.se_at(std::log(pa))));
  };
  fit.valid = true;
  fit.n = interval_about(line.slope, half(line.slope_se));
  fit.c_m3_s_pan = interval_about_log(line.intercept, half(line.intercept_se));
  fit.q_ref_m3_s = flow_at(procedure.reference_pressure_pa);
  fit.flows = flows_at(flow_at);
  fit.r2 = line.r2;
  fit.residual_s = line.residual_s;
  fit.degrees_of_freedom = line.degrees_of_freedom;
  return fit;
}

/// ln C at a fixed exponent, its mean over the points, and how far that mean may be off.
struct FixedLevel {
  double ln_c = 0;
  double mean_x = 0;
  double residual_s = 0;
  HalfWidth half;  ///< of ln C for the exponent as it is, at the procedure's confidence
};

FixedLevel fixed_level(const GlsPoints& points, double n, double confidence) {
  const double count = static_cast<double>(points.size());
  FixedLevel level;
  for (const GlsPoint& p : points) {
    level.mean_x += std::log(p.pressure_pa) / count;
    level.ln_c += (std::log(p.flow_m3_s) - n * std::log(p.pressure_pa)) / count;
  }
  if (points.size() == 1) {
    const double u = std::hypot(points[0].u_flow_frac, n * points[0].u_pressure_pa / points[0].pressure_pa);
    level.half = student_half_width(confidence, std::numeric_limits<double>::infinity(), u);
    return level;
  }
  double squares = 0;
  for (const GlsPoint& p : points) {
    const double r = std::log(p.flow_m3_s) - n * std::log(p.pressure_pa) - level.ln_c;
    squares += r * r;
  }
  level.residual_s = std::sqrt(squares / (count - 1));
  level.half = student_half_width(confidence, count - 1, level.residual_s / std::sqrt(count));
  return level;
}

HalfWidth together(HalfWidth a, HalfWidth b, double weight_of_b) {
  return {std::hypot(a.two_sided, weight_of_b * b.two_sided),
          std::hypot(a.one_sided, weight_of_b * b.one_sided)};
}

FitResult fixed_exponent_fit(const GlsPoints& points, const ProcedureSpec& procedure) {
  FitResult fit;
  const double n = procedure.fixed_exponent;
  const FixedLevel level = fixed_level(points, n, procedure.confidence);
  const HalfWidth half_n =
      student_half_width(procedure.confidence, std::numeric_limits<double>::infinity(), procedure.exponent_u);
  const auto flow_at = [&](double pa) {
    const double x = std::log(pa);
    return interval_about_log(level.ln_c + n * x, together(level.half, half_n, x - level.mean_x));
  };
  fit.valid = true;
  fit.n = interval_about(n, half_n);
  fit.c_m3_s_pan = interval_about_log(level.ln_c, together(level.half, half_n, level.mean_x));
  fit.q_ref_m3_s = flow_at(procedure.reference_pressure_pa);
  fit.flows = flows_at(flow_at);
  fit.residual_s = level.residual_s;
  fit.degrees_of_freedom = static_cast<int>(points.size()) - 1;
  return fit;
}

Interval scaled_interval(const Interval& i, double factor) {
  return {i.known, i.value * factor, i.low * factor, i.high * factor, i.upper * factor};
}

}  // namespace

FitResult standard_fit(const GlsPoints& points, const ProcedureSpec& procedure) noexcept {
  const bool is_fixed = procedure.fit == FitMethod::fixed_exponent;
  if (points.size() < (is_fixed ? 1U : 2U)) return {};
  return is_fixed ? fixed_exponent_fit(points, procedure) : free_exponent_fit(points, procedure);
}

FitResult scaled(const FitResult& fit, double factor) noexcept {
  FitResult out = fit;
  out.c_m3_s_pan = scaled_interval(fit.c_m3_s_pan, factor);
  out.q_ref_m3_s = scaled_interval(fit.q_ref_m3_s, factor);
  for (Interval* flow : {&out.flows.q4_m3_s, &out.flows.q10_m3_s, &out.flows.q50_m3_s, &out.flows.q75_m3_s})
    *flow = scaled_interval(*flow, factor);
  return out;
}

}  // namespace leeward::control
