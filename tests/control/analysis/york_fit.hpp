#pragma once
/// Straight line through points with independent errors in both coordinates, solved exactly: the reference
/// that the effective variance of gls_fit() is held against.

#include <algorithm>
#include <cmath>
#include <span>

namespace leeward::control {

/// @param u_x, u_y  standard uncertainties, above 0
struct YorkPoint {
  double x = 0;
  double y = 0;
  double u_x = 0;
  double u_y = 0;
};

struct YorkFit {
  bool ok = false;
  double intercept = 0;
  double slope = 0;
  double intercept_se = 0;  ///< from the stated uncertainties, not scaled by the scatter
  double slope_se = 0;
  double covariance = 0;
  double chi2 = 0;
  int degrees_of_freedom = 0;
};

namespace york_detail {

inline double weight_of(const YorkPoint& p, double slope) {
  return 1 / (p.u_y * p.u_y + slope * slope * p.u_x * p.u_x);
}

/// Weighted means for a slope, and the next slope by the points moved onto the line along their errors.
struct Round {
  double weights = 0;
  double mean_x = 0;
  double mean_y = 0;
  double slope = 0;
};

/// How far the adjusted x of a point lies from the weighted mean of x.
inline double adjusted_offset(const YorkPoint& p, const Round& round, double slope) {
  const double u = p.x - round.mean_x;
  const double v = p.y - round.mean_y;
  return weight_of(p, slope) * (u * p.u_y * p.u_y + slope * v * p.u_x * p.u_x);
}

inline Round round_at(std::span<const YorkPoint> points, double slope) {
  Round round;
  for (const YorkPoint& p : points) {
    const double w = weight_of(p, slope);
    round.weights += w;
    round.mean_x += w * p.x;
    round.mean_y += w * p.y;
  }
  round.mean_x /= round.weights;
  round.mean_y /= round.weights;
  double numerator = 0;
  double denominator = 0;
  for (const YorkPoint& p : points) {
    const double w_beta = weight_of(p, slope) * adjusted_offset(p, round, slope);
    numerator += w_beta * (p.y - round.mean_y);
    denominator += w_beta * (p.x - round.mean_x);
  }
  round.slope = numerator / denominator;
  return round;
}

inline double unweighted_slope(std::span<const YorkPoint> points) {
  double mean_x = 0;
  double mean_y = 0;
  for (const YorkPoint& p : points) {
    mean_x += p.x / static_cast<double>(points.size());
    mean_y += p.y / static_cast<double>(points.size());
  }
  double xx = 0;
  double xy = 0;
  for (const YorkPoint& p : points) {
    xx += (p.x - mean_x) * (p.x - mean_x);
    xy += (p.x - mean_x) * (p.y - mean_y);
  }
  return xy / xx;
}

/// Standard errors from the adjusted points.
void set_errors(YorkFit& fit, std::span<const YorkPoint> points, const Round& round) {
  double mean = 0;
  for (const YorkPoint& p : points)
    mean += weight_of(p, fit.slope) * (round.mean_x + adjusted_offset(p, round, fit.slope)) / round.weights;
  double spread = 0;
  for (const YorkPoint& p : points) {
    const double off = round.mean_x + adjusted_offset(p, round, fit.slope) - mean;
    spread += weight_of(p, fit.slope) * off * off;
    const double residual = p.y - fit.intercept - fit.slope * p.x;
    fit.chi2 += weight_of(p, fit.slope) * residual * residual;
  }
  fit.slope_se = std::sqrt(1 / spread);
  fit.intercept_se = std::sqrt(1 / round.weights + mean * mean / spread);
  fit.covariance = -mean / spread;
}

}  // namespace york_detail

/// Range   at least 3 points
/// Errors  not ok: fewer points, an uncertainty that is not above 0, all x equal, no end of the iteration
/// Source  D. York, N. M. Evensen, M. Lopez Martinez, J. De Basabe Delgado, Am. J. Phys. 72 (2004) 367
[[nodiscard]] inline YorkFit york_fit(std::span<const YorkPoint> points) noexcept {
  using namespace york_detail;
  constexpr int most_rounds = 200;
  YorkFit fit;
  const bool usable =
      std::all_of(points.begin(), points.end(), [](const YorkPoint& p) { return p.u_x > 0 && p.u_y > 0; });
  if (points.size() < 3 || !usable) return fit;
  fit.degrees_of_freedom = static_cast<int>(points.size()) - 2;
  double slope = unweighted_slope(points);
  for (int i = 0; i < most_rounds && std::isfinite(slope); ++i) {
    const Round round = round_at(points, slope);
    const bool settled = std::abs(round.slope - slope) <= 1e-15 * std::abs(round.slope);
    slope = round.slope;
    if (!settled && i + 1 < most_rounds) continue;
    fit.slope = slope;
    fit.intercept = round.mean_y - slope * round.mean_x;
    set_errors(fit, points, round);
    fit.ok = std::isfinite(fit.intercept) && std::isfinite(fit.slope_se);
    break;
  }
  return fit;
}

}  // namespace leeward::control
