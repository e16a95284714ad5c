#pragma once
/// Unweighted least squares of a straight line, plain and in logarithms: the form that the standards ask for.

#include <span>

namespace leeward::control {

/// Line y = intercept + slope * x with its standard errors.
/// Range   without degrees of freedom (two points) there are no standard errors, they are 0
struct LineFit {
  bool ok = false;
  int points = 0;
  int degrees_of_freedom = 0;
  double slope = 0;
  double intercept = 0;
  double slope_se = 0;
  double intercept_se = 0;
  double slope_intercept_covariance = 0;
  double residual_s = 0;  ///< standard deviation about the line
  double r2 = 0;
  double mean_x = 0;
  double spread_x = 0;  ///< sum of squares of x about its mean
  [[nodiscard]] double at(double x) const noexcept { return intercept + slope * x; }
  /// Standard error of the line itself (mean response) at x.
  [[nodiscard]] double se_at(double x) const noexcept;
};

/// Shape    x and y of equal length
/// Errors   not ok with fewer than two points, with all x equal, or with a value that is not finite
/// Source   closed form about the means (two passes), residuals summed directly
[[nodiscard]] LineFit fit_line(std::span<const double> x, std::span<const double> y) noexcept;

/// The line through ln(flow) over ln(pressure): slope = n, intercept = ln C.
/// Range    at most kMaxStations points, all above 0
[[nodiscard]] LineFit fit_log_log(std::span<const double> pressure_pa,
                                  std::span<const double> flow_m3_s) noexcept;

}  // namespace leeward::control
