#include "control/analysis/even_errors.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "control/analysis/student_t.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastShare = 1e-3;  // below, nothing is to be seen of it
constexpr double kMostShare = 1 - 1e-6;

/// Integral of the normal distribution function of a standard deviation, up to a constant.
double normal_area(double x, double sd) {
  const double z = x / sd;
  const double below = 0.5 * std::erfc(-z / std::numbers::sqrt2);
  const double density = std::exp(-0.5 * z * z) / std::sqrt(2 * std::numbers::pi);
  return x * below + sd * density;
}

/// That the sum lies within +-k; its variance is 1.
double held_within(double k, double share) {
  const double bound = std::sqrt(3 * share);
  const double sd = std::sqrt(1 - share);
  return (normal_area(k + bound, sd) - normal_area(k - bound, sd)) / bound - 1;
}

}  // namespace

double even_error_factor(double confidence, double share) noexcept {
  constexpr double least_confidence = 0.01;
  if (!(share > kLeastShare) || !(confidence > least_confidence)) return 1;
  const double even = std::min(share, kMostShare);
  const double normal = student_t_two_sided(confidence, 1e9);
  double low = 0;
  double high = 2 * normal;
  constexpr int halvings = 40;
  for (int i = 0; i < halvings; ++i) {
    const double middle = 0.5 * (low + high);
    (held_within(middle, even) < confidence ? low : high) = middle;
  }
  return 0.5 * (low + high) / normal;
}

}  // namespace leeward::control
