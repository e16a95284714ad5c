#include "control/analysis/curve_uncertainty.hpp"

#include <algorithm>
#include <limits>

#include "control/analysis/even_errors.hpp"
#include "control/analysis/student_t.hpp"

namespace leeward::control {

namespace {

Effect mapped(Effect e, CurveMap m) { return {m.cc * e.ln_c + m.cn * e.n, m.nn * e.n}; }

Covariance mapped(const Covariance& c, CurveMap m) {
  return {m.cc * m.cc * c.cc + 2 * m.cc * m.cn * c.cn + m.cn * m.cn * c.nn,
          m.nn * (m.cc * c.cn + m.cn * c.nn), m.nn * m.nn * c.nn};
}

constexpr double kLoadUnshared = 0.4;  // of the load on the leaks, between two directions of one run

Effect scaled(Effect e, double by) { return {by * e.ln_c, by * e.n}; }

Effect sum(Effect a, Effect b) { return {a.ln_c + b.ln_c, a.n + b.n}; }

double square(double v) { return v * v; }

template <std::size_t N>
double squares_of(const std::array<Effect, N>& effects, LinearForm form) {
  double total = 0;
  for (const Effect& e : effects) total += square(e.on(form));
  return total;
}

double effective_degrees_of_freedom(const Scatter& scatter, LinearForm form, double variance) {
  const double beyond_stated =
      square(scatter.variance_of(form)) - square(scatter.variance_of(form) / scatter.scale());
  if (scatter.degrees_of_freedom <= 0 || beyond_stated <= 0) return std::numeric_limits<double>::infinity();
  return square(variance) * scatter.degrees_of_freedom / beyond_stated;
}

/// Share of the variance that lies evenly between bounds: what thermometers and the gauge's scale do.
double even_share(const CurveUncertainty& u, LinearForm form, double variance) {
  double fourth = square(square(u.gauge.on(form)));
  for (const std::size_t thermometer : {0, 1}) fourth += square(square(u.density[thermometer].on(form)));
  return variance > 0 ? std::sqrt(fourth) / variance : 0;
}

Scatter sum(const Scatter& a, const Scatter& b) {
  Scatter out;
  out.stated = {a.stated.cc + b.stated.cc, a.stated.cn + b.stated.cn, a.stated.nn + b.stated.nn};
  out.degrees_of_freedom = a.degrees_of_freedom + b.degrees_of_freedom;
  if (out.degrees_of_freedom > 0)
    out.observed_ratio = (a.observed_ratio * a.degrees_of_freedom + b.observed_ratio * b.degrees_of_freedom) /
                         out.degrees_of_freedom;
  return out;
}

}  // namespace

CurveUncertainty mapped(const CurveUncertainty& u, CurveMap map) noexcept {
  CurveUncertainty out = u;
  out.scatter.stated = mapped(u.scatter.stated, map);
  for (Effect& e : out.baseline) e = mapped(e, map);
  for (Effect& e : out.calibration) e = mapped(e, map);
  out.gauge = mapped(u.gauge, map);
  for (Effect& e : out.wind) e = mapped(e, map);
  for (Effect& e : out.density) e = mapped(e, map);
  out.exponent = mapped(u.exponent, map);
  return out;
}

CurveUncertainty combined(const CurveUncertainty& a, const CurveUncertainty& b) noexcept {
  CurveUncertainty out = a;
  out.scatter = sum(a.scatter, b.scatter);
  for (std::size_t i = 0; i < kZeroFlowCauses; ++i) {
    out.baseline[i] = a.baseline[i];
    out.baseline[kZeroFlowCauses + i] = b.baseline[i];
  }
  for (std::size_t i = 0; i < kMaxRestrictions; ++i)
    out.calibration[i] = sum(a.calibration[i], b.calibration[i]);
  out.gauge = sum(a.gauge, b.gauge);
  for (std::size_t i = 0; i < kDensityCauses; ++i) out.density[i] = sum(a.density[i], b.density[i]);
  out.exponent = sum(a.exponent, b.exponent);
  // A load that helps one direction hinders the other; its spread pulls both the same way. Between the two
  // the wind has changed a little.
  out.wind = {sum(a.wind[0], scaled(b.wind[0], -1)), sum(a.wind[1], b.wind[1]),
              scaled(a.wind[0], kLoadUnshared), scaled(b.wind[0], kLoadUnshared)};
  out.gust_freedom = a.gust_freedom + b.gust_freedom;
  return out;
}

Budget budget_of(const CurveUncertainty& u, LinearForm form) noexcept {
  const double scatter = u.scatter.variance_of(form);
  const double baseline = squares_of(u.baseline, form);
  const double calibration = squares_of(u.calibration, form);
  const double gauge = square(u.gauge.on(form));
  const double density = squares_of(u.density, form);
  const double exponent = square(u.exponent.on(form));
  const double wind = squares_of(u.wind, form);
  return {.scatter = std::sqrt(scatter),
          .baseline = std::sqrt(baseline),
          .calibration = std::sqrt(calibration),
          .gauge = std::sqrt(gauge),
          .density = std::sqrt(density),
          .wind = std::sqrt(wind),
          .exponent = std::sqrt(exponent),
          .total = std::sqrt(scatter + baseline + calibration + gauge + density + wind + exponent)};
}

double half_width(const CurveUncertainty& u, LinearForm form, double confidence, double more_u) noexcept {
  const double variance = square(budget_of(u, form).total) + square(more_u);
  const Budget budget = budget_of(u, form);
  const double by_gusts = square(budget.scatter) + square(budget.baseline);
  const double freedom = std::min(effective_degrees_of_freedom(u.scatter, form, variance),
                                  u.gust_freedom * square(variance / by_gusts));
  return student_t_two_sided(confidence, freedom) *
         even_error_factor(confidence, even_share(u, form, variance)) * std::sqrt(variance);
}

}  // namespace leeward::control
