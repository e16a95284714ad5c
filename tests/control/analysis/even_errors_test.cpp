#include "control/analysis/even_errors.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

namespace leeward::control {
namespace {

constexpr double kNormal95 = 1.959963985;

/// A second way: the quantile of many drawn sums of variance 1.
double drawn_factor(double confidence, const std::vector<double>& even_variances) {
  std::mt19937_64 rng(7);
  std::normal_distribution<double> normal;
  std::uniform_real_distribution<double> even(-1, 1);
  double rest = 1;
  for (const double v : even_variances) rest -= v;
  std::vector<double> sizes(400000);
  for (double& size : sizes) {
    double sum = std::sqrt(rest) * normal(rng);
    for (const double v : even_variances) sum += std::sqrt(3 * v) * even(rng);
    size = std::abs(sum);
  }
  const auto at = sizes.begin() + static_cast<std::ptrdiff_t>(confidence * static_cast<double>(sizes.size()));
  std::nth_element(sizes.begin(), at, sizes.end());
  return *at / kNormal95;
}

TEST(EvenErrorFactor, OfAnEvenErrorAloneIsThatOfItsBounds) {
  // 95 % of the way to the bounds, which lie at sqrt(3) standard deviations.
  EXPECT_NEAR(even_error_factor(0.95, 1), 0.95 * std::sqrt(3.0) / kNormal95, 2e-3);
}

TEST(EvenErrorFactor, WithoutAnEvenErrorIsOne) {
  EXPECT_EQ(even_error_factor(0.95, 0), 1);
  EXPECT_NEAR(even_error_factor(0.95, 0.002), 1, 1e-4);
}

TEST(EvenErrorFactor, AgreesWithDrawnSums) {
  for (const double share : {0.2, 0.5, 0.8, 0.95})
    EXPECT_NEAR(even_error_factor(0.95, share), drawn_factor(0.95, {share}), 4e-3) << share;
}

TEST(EvenErrorFactor, TakesSeveralEvenErrorsByTheirFourthCumulant) {
  // An approximation: nothing normal at all is left out, where it is 2.6 % short.
  for (const double each : {0.1, 0.2, 0.35, 0.45}) {
    const double share = std::sqrt(2.0) * each;
    EXPECT_NEAR(even_error_factor(0.95, share), drawn_factor(0.95, {each, each}), 0.02) << each;
  }
}

TEST(EvenErrorFactor, NeverWidensAnUsualInterval) {
  for (double share = 0; share <= 1; share += 0.05) {
    EXPECT_LE(even_error_factor(0.95, share), 1 + 1e-9);
    EXPECT_GE(even_error_factor(0.95, share), 0.83);
  }
}

}  // namespace
}  // namespace leeward::control
