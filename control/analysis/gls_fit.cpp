#include "control/analysis/gls_fit.hpp"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <algorithm>

#include "control/analysis/log_log_fit.hpp"

namespace leeward::control {

namespace {

// Sizes change with the number of stations, storage does not: nothing here is on the heap.
constexpr int kMax = static_cast<int>(kMaxStations);
using Vector = Eigen::Matrix<double, Eigen::Dynamic, 1, Eigen::ColMajor, kMax, 1>;
using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, kMax, kMax>;
using Pair = Eigen::Matrix<double, Eigen::Dynamic, 2, Eigen::ColMajor, kMax, 2>;

/// The stations in logarithms with the size of each error.
struct Problem {
  Vector x, y;
  Vector u_x, u_y;  ///< independent
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, kMax,
                static_cast<int>(kZeroFlowCauses)>
      baseline;  ///< zero-flow error that a part shares, as an error of x, one column a part
  Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::ColMajor, kMax,
                static_cast<int>(kMaxRestrictions)>
      scale;  ///< one column a restriction, error of y
  std::optional<AssumedExponent> assumed;
  int degrees_of_freedom = 0;
};

/// One solution for given weights. The rows of `gain` give ln C and n as sums over y.
struct Solution {
  double ln_c = 0;
  double n = 0;
  double chi2 = 0;
  Pair gain;
};

Problem problem_of(const GlsPoints& points, double u_baseline_pa, std::optional<AssumedExponent> assumed) {
  const Eigen::Index count = static_cast<Eigen::Index>(points.size());
  Problem p{Vector(count), Vector(count), Vector(count), Vector(count), {}, {}, assumed, 0};
  p.baseline.setZero(count, static_cast<Eigen::Index>(kZeroFlowCauses));
  p.scale.setZero(count, static_cast<Eigen::Index>(kMaxRestrictions));
  for (Eigen::Index i = 0; i < count; ++i) {
    const GlsPoint& point = points[static_cast<std::size_t>(i)];
    p.x[i] = std::log(point.pressure_pa);
    p.y[i] = std::log(point.flow_m3_s);
    p.u_x[i] = point.u_pressure_pa / point.pressure_pa;
    p.u_y[i] = point.u_flow_frac;
    const int part = std::clamp(point.part, 0, static_cast<int>(kMaxKeptParts));
    p.baseline(i, part) = (part == 0 ? u_baseline_pa : point.u_part_zero_pa) / point.pressure_pa;
    p.scale(i, std::clamp(point.restriction, 0, static_cast<int>(kMaxRestrictions) - 1)) = point.u_scale_frac;
  }
  p.degrees_of_freedom = static_cast<int>(count) - (assumed ? 1 : 2);
  return p;
}

Vector independent_variance(const Problem& p, double n, double scatter_scale) {
  return scatter_scale * (p.u_y.array().square() + n * n * p.u_x.array().square()).matrix();
}

Square covariance(const Problem& p, double n, double scatter_scale) {
  Square v = (n * n) * p.baseline * p.baseline.transpose() + p.scale * p.scale.transpose();
  v.diagonal() += independent_variance(p, n, scatter_scale);
  return v;
}

/// Fits with the weights that belong to `n` and `scatter_scale`; nullopt where they are no covariance.
std::optional<Solution> solve(const Problem& p, double n, double scatter_scale) {
  const Eigen::LLT<Square> v(covariance(p, n, scatter_scale));
  if (v.info() != Eigen::Success) return std::nullopt;
  Solution s;
  Pair design(p.x.size(), 2);
  design.col(0).setOnes();
  design.col(1) = p.x;
  const Pair weighted = v.solve(design);
  s.gain.setZero(p.x.size(), 2);
  if (p.assumed) {
    s.gain.col(0) = weighted.col(0) / weighted.col(0).sum();
    s.n = p.assumed->n;
    s.ln_c = s.gain.col(0).dot(p.y - s.n * p.x);
  } else {
    const Eigen::Matrix2d normal = design.transpose() * weighted;
    const Eigen::LLT<Eigen::Matrix2d> factor(normal);
    if (factor.info() != Eigen::Success) return std::nullopt;
    s.gain = weighted * factor.solve(Eigen::Matrix2d::Identity());
    s.ln_c = s.gain.col(0).dot(p.y);
    s.n = s.gain.col(1).dot(p.y);
  }
  const Vector residual = p.y - s.n * p.x - Vector::Constant(p.x.size(), s.ln_c);
  s.chi2 = residual.dot(Vector(v.solve(residual)));
  return s;
}

Effect effect_of(const Solution& s, const Vector& error_of_y) {
  return {s.gain.col(0).dot(error_of_y), s.gain.col(1).dot(error_of_y)};
}

Covariance scatter_of(const Solution& s, const Vector& variance) {
  const auto c = s.gain.col(0).array();
  const auto n = s.gain.col(1).array();
  return {(c * c * variance.array()).sum(), (c * n * variance.array()).sum(),
          (n * n * variance.array()).sum()};
}

UncertainCurve curve_of(const Problem& p, const Solution& s) {
  UncertainCurve curve{s.ln_c, s.n, {}};
  curve.u.scatter.stated = scatter_of(s, independent_variance(p, s.n, 1.0));
  curve.u.scatter.degrees_of_freedom = p.degrees_of_freedom;
  for (std::size_t part = 0; part < kZeroFlowCauses; ++part)
    curve.u.baseline[part] = effect_of(s, Vector(-s.n * p.baseline.col(static_cast<Eigen::Index>(part))));
  for (std::size_t r = 0; r < kMaxRestrictions; ++r)
    curve.u.calibration[r] = effect_of(s, p.scale.col(static_cast<Eigen::Index>(r)));
  if (p.assumed) curve.u.exponent = {-p.assumed->u * s.gain.col(0).dot(p.x), p.assumed->u};
  return curve;
}

/// Where the first weights come from: the plain slope, or the exponent that is assumed.
std::optional<double> first_exponent(const Problem& p) {
  if (p.assumed) return p.assumed->n;
  const std::size_t count = static_cast<std::size_t>(p.x.size());
  const LineFit line = fit_line({p.x.data(), count}, {p.y.data(), count});
  if (!line.ok) return std::nullopt;
  return line.slope;
}

}  // namespace

GlsFit gls_fit(const GlsPoints& points, double u_baseline_pa,
               std::optional<AssumedExponent> assumed) noexcept {
  GlsFit fit;
  const Problem p = problem_of(points, u_baseline_pa, assumed);
  fit.degrees_of_freedom = p.degrees_of_freedom;
  if (p.degrees_of_freedom < 0) return fit;
  const std::optional<double> first = first_exponent(p);
  if (!first) return fit;
  constexpr int most_rounds = 50;
  double n = *first;
  for (int round = 0; round < most_rounds; ++round) {
    const std::optional<Solution> s = solve(p, n, fit.scatter_scale);
    if (!s || !std::isfinite(s->ln_c) || !std::isfinite(s->n)) return fit;
    const double reduced = p.degrees_of_freedom > 0 ? s->chi2 / p.degrees_of_freedom : 0;
    const double scale = std::fmax(1.0, fit.scatter_scale * reduced);
    const bool settled = std::abs(s->n - n) < 1e-11 && std::abs(scale - fit.scatter_scale) < 1e-9 * scale;
    if (settled || round + 1 == most_rounds) {
      fit.curve = curve_of(p, *s);
      break;
    }
    n = s->n;
    fit.scatter_scale = scale;
  }
  const std::optional<Solution> as_given = solve(p, fit.curve.n, 1.0);
  if (as_given && p.degrees_of_freedom > 0) fit.chi2_reduced = as_given->chi2 / p.degrees_of_freedom;
  fit.curve.u.scatter.observed_ratio = fit.scatter_scale > 1 ? fit.scatter_scale : fit.chi2_reduced;
  fit.ok = true;
  return fit;
}

}  // namespace leeward::control
