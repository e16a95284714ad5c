#include "control/analysis/clamped_zero.hpp"

#include <cmath>
#include <numbers>

namespace leeward::control {
namespace {

constexpr double kFarBelow = -1;  // standard deviations: below it the resolution spoils the moments
constexpr double kFarAbove = 4;
constexpr double kLeastSd = 1e-6;  // Pa

struct Rectified {
  double mean = 0;
  double sd = 0;
};

/// Of max(0, x) for a normal x of standard deviation 1 about k.
Rectified rectified(double k) {
  const double density = std::exp(-0.5 * k * k) / std::sqrt(2 * std::numbers::pi);
  const double share = 0.5 * std::erfc(-k / std::numbers::sqrt2);
  const double mean = k * share + density;
  const double square = (k * k + 1) * share + k * density;
  return {mean, std::sqrt(square - mean * mean)};
}

}  // namespace

ClampedZero clamped_zero(double mean_pa, double sd_pa) noexcept {
  if (!std::isfinite(mean_pa) || !std::isfinite(sd_pa) || mean_pa < 0) return {};
  if (sd_pa < kLeastSd) return {mean_pa > 0, mean_pa};
  const double ratio = mean_pa / sd_pa;
  if (ratio > kFarAbove) return {true, mean_pa};
  const Rectified lowest = rectified(kFarBelow);
  if (ratio < lowest.mean / lowest.sd) return {};
  double low = kFarBelow;
  double high = kFarAbove;
  for (int i = 0; i < 50; ++i) {
    const double k = 0.5 * (low + high);
    const Rectified r = rectified(k);
    (r.mean < ratio * r.sd ? low : high) = k;
  }
  return {true, mean_pa / rectified(low).mean * low};
}

}  // namespace leeward::control
