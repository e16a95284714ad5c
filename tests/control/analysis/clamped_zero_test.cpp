#include "control/analysis/clamped_zero.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

namespace leeward::control {
namespace {

/// Zero found from readings of a gauge with noise, resolution and a floor at 0.
double zero_found(double zero_pa, double noise_pa, double quantum_pa) {
  std::mt19937 rng(3);
  std::normal_distribution<double> noise(zero_pa, noise_pa);
  constexpr int count = 100'000;
  double sum = 0;
  double squares = 0;
  for (int i = 0; i < count; ++i) {
    const double reading = std::max(0.0, quantum_pa * std::round(noise(rng) / quantum_pa));
    sum += reading;
    squares += reading * reading;
  }
  const double mean = sum / count;
  return clamped_zero(mean, std::sqrt(squares / count - mean * mean), quantum_pa).zero_pa;
}

TEST(ClampedZero, FindsAZeroThatTheFloorHides) {
  for (const double zero : {-0.08, -0.03, 0.0, 0.05, 0.2, 1.0}) {
    EXPECT_NEAR(zero_found(zero, 0.1, 0.001), zero, 0.005) << zero;
    // A step as large as the noise hides no more; further down too little is above 0.
    if (zero > -0.05) {
      EXPECT_NEAR(zero_found(zero, 0.1, 0.1), zero, 0.005) << zero;
    }
  }
}

TEST(ClampedZero, DoesNotGuessWhatIsFarBelow) {
  EXPECT_FALSE(clamped_zero(0, 0, 0).known);
  EXPECT_FALSE(clamped_zero(1e-6, 1e-3, 0).known);
  EXPECT_FALSE(clamped_zero(0.005, 0.025, 0).known);
  EXPECT_FALSE(clamped_zero(std::nan(""), 0.1, 0).known);
  EXPECT_FALSE(clamped_zero(-0.1, 0.1, 0).known);
  EXPECT_FALSE(clamped_zero(0.005, std::sqrt(0.005 * 0.095), 0.1).known);  // one reading in 20, one step high
}

TEST(ClampedZero, TakesAClearReadingAsItIs) {
  EXPECT_EQ(clamped_zero(2.5, 0.1, 0).zero_pa, 2.5);
  EXPECT_EQ(clamped_zero(0.3, 0, 0).zero_pa, 0.3);
}

}  // namespace
}  // namespace leeward::control
