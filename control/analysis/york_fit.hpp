#pragma once
/// Straight line through points with independent errors in both coordinates, solved exactly: the reference
/// that the effective variance of gls_fit() is held against.

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

/// Range   at least 3 points
/// Errors  not ok: fewer points, an uncertainty that is not above 0, all x equal, no end of the iteration
/// Source  D. York, N. M. Evensen, M. Lopez Martinez, J. De Basabe Delgado, Am. J. Phys. 72 (2004) 367
[[nodiscard]] YorkFit york_fit(std::span<const YorkPoint> points) noexcept;

}  // namespace leeward::control
