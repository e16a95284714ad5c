#include "control/analysis/clamped_zero.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace leeward::control {
namespace {

constexpr double kFarBelow = -1;  // standard deviations: below it too few readings are above 0
constexpr double kFarAbove = 4;
constexpr double kLeastSd = 1e-6;     // Pa
constexpr double kFineSteps = 5;      // steps in a standard deviation: more can't be told from none
constexpr double kCoarseSteps = 2.5;  // standard deviations in a step: less noise than that hides behind it
constexpr int kHalvings = 30;

/// Of readings in units of the noise's standard deviation.
struct Rectified {
  double mean = 0;
  double sd = 0;
};

double above(double x) { return 0.5 * std::erfc(x / std::numbers::sqrt2); }

/// Of max(0, x) for a normal x of standard deviation 1 about k.
Rectified without_steps(double k) {
  const double density = std::exp(-0.5 * k * k) / std::sqrt(2 * std::numbers::pi);
  const double share = above(-k);
  const double mean = k * share + density;
  const double square = (k * k + 1) * share + k * density;
  return {mean, std::sqrt(square - mean * mean)};
}

/// The same rounded to the nearest step: what is less than half a step above 0 is lost as well.
Rectified rectified(double k, double step) {
  if (step * kFineSteps < 1) return without_steps(k);
  double mean = 0;
  double square = 0;
  for (int level = 1; level <= 1 + static_cast<int>((std::max(0.0, k) + kFarAbove) / step); ++level) {
    const double share = above((level - 0.5) * step - k);
    mean += step * share;
    square += step * step * (2 * level - 1) * share;
  }
  return {mean, std::sqrt(square - mean * mean)};
}

/// How far above 0 the zero stands, in standard deviations of a noise that gives the ratio of mean to
/// standard deviation.
double zero_over_noise(double ratio, double step) {
  double low = kFarBelow;
  double high = kFarAbove;
  for (int i = 0; i < kHalvings; ++i) {
    const double k = 0.5 * (low + high);
    const Rectified r = rectified(k, step);
    (r.mean < ratio * r.sd ? low : high) = k;
  }
  return low;
}

}  // namespace

ClampedZero clamped_zero(double mean_pa, double sd_pa, double step_pa) noexcept {
  if (!std::isfinite(mean_pa) || !std::isfinite(sd_pa) || !std::isfinite(step_pa) || mean_pa < 0) return {};
  if (sd_pa < kLeastSd) return {mean_pa > 0, mean_pa};
  const double ratio = mean_pa / sd_pa;
  if (ratio > kFarAbove) return {true, mean_pa};
  // The noise is wider than what is left of it above 0; how much goes with where the zero is.
  double noise_pa = sd_pa;
  double k = 0;
  for (int i = 0; i < kHalvings; ++i) {
    const double step = step_pa / noise_pa;
    const Rectified lowest = rectified(kFarBelow, step);
    if (ratio < lowest.mean / lowest.sd) return {};
    k = zero_over_noise(ratio, step);
    noise_pa = sd_pa / rectified(k, step).sd;
    if (step_pa > kCoarseSteps * noise_pa) return {};
  }
  return {true, noise_pa * k};
}

}  // namespace leeward::control
