#include "control/analysis/standard_fit.hpp"

#include "control/analysis/intervals.hpp"
#include "control/analysis/log_log_fit.hpp"
#include "control/analysis/student_t.hpp"

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
  fit.r2 = 1;
  return fit;
}

FitResult free_exponent_fit(const GlsPoints& points, const ProcedureSpec& procedure) {
  if (points.size() == 2) return two_point_fit(points, procedure);
  FitResult fit;
  const LineFit line = line_through(points);
  if (!line.ok) return fit;
  const double t = student_t_two_sided(procedure.confidence, line.degrees_of_freedom);
  const double x_ref = std::log(procedure.reference_pressure_pa);
  fit.valid = true;
  fit.n = interval_about(line.slope, t * line.slope_se);
  fit.c_m3_s_pan = interval_about_log(line.intercept, t * line.intercept_se);
  fit.q_ref_m3_s = interval_about_log(line.at(x_ref), t * line.se_at(x_ref));
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
  double half = 0;  ///< of ln C for the exponent as it is, at the procedure's confidence
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
    level.half = student_t_two_sided(confidence, std::numeric_limits<double>::infinity()) * u;
    return level;
  }
  double squares = 0;
  for (const GlsPoint& p : points) {
    const double r = std::log(p.flow_m3_s) - n * std::log(p.pressure_pa) - level.ln_c;
    squares += r * r;
  }
  level.residual_s = std::sqrt(squares / (count - 1));
  level.half = student_t_two_sided(confidence, count - 1) * level.residual_s / std::sqrt(count);
  return level;
}

FitResult fixed_exponent_fit(const GlsPoints& points, const ProcedureSpec& procedure) {
  FitResult fit;
  const double n = procedure.fixed_exponent;
  const FixedLevel level = fixed_level(points, n, procedure.confidence);
  const double half_n = student_t_two_sided(procedure.confidence, std::numeric_limits<double>::infinity()) *
                        procedure.exponent_u;
  const double x_ref = std::log(procedure.reference_pressure_pa);
  fit.valid = true;
  fit.n = interval_about(n, half_n);
  fit.c_m3_s_pan = interval_about_log(level.ln_c, std::hypot(level.half, level.mean_x * half_n));
  fit.q_ref_m3_s =
      interval_about_log(level.ln_c + n * x_ref, std::hypot(level.half, (x_ref - level.mean_x) * half_n));
  fit.residual_s = level.residual_s;
  fit.degrees_of_freedom = static_cast<int>(points.size()) - 1;
  return fit;
}

Interval scaled_interval(const Interval& i, double factor) {
  return {i.known, i.value * factor, i.low * factor, i.high * factor};
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
  return out;
}

}  // namespace leeward::control
