#include "control/signal/filters.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <random>

namespace leeward::control {
namespace {

TEST(LagShare, IsTheZeroOrderHoldOfALag) {
  // Reference values computed outside this program (numpy).
  EXPECT_NEAR(1 - lag_share(0.1, 2), .951229424500714, 1e-15);
  EXPECT_NEAR(lag_share(0.1, 2), .048770575499286, 1e-15);
  EXPECT_NEAR(1 - lag_share(0.1, 0.5), .818730753077982, 1e-15);
}

TEST(LagShare, IsNothingWithoutTimeAndEverythingWithoutALag) {
  EXPECT_EQ(lag_share(0, 2), 0);
  EXPECT_EQ(lag_share(-1, 2), 0);
  EXPECT_EQ(lag_share(std::numeric_limits<double>::quiet_NaN(), 2), 0);
  EXPECT_EQ(lag_share(0.1, 0), 1);
  EXPECT_EQ(lag_share(std::numeric_limits<double>::infinity(), 2), 1);
}

TEST(LagStep, RisesToOneMinusOneOverEInItsTimeForAnyCutOfIt) {  // .632120558829
  double even = 0;
  double uneven = 0;
  for (int k = 0; k < 10; ++k) {
    even = lag_step(even, 1, 0.1, 1);
    uneven = lag_step(uneven, 1, k % 2 == 0 ? 0.02 : 0.18, 1);
  }
  EXPECT_NEAR(even, .632120558829, 1e-12);
  EXPECT_NEAR(uneven, .632120558829, 1e-12);
}

TEST(LagStep, LetsTheKnownPartOfWhiteNoiseThrough) {  // (1 - a)/(1 + a) = .049958375 for 1 s at 0.1 s
  const double a = 1 - lag_share(0.1, 1);
  EXPECT_NEAR((1 - a) / (1 + a), .049958375, 1e-9);
  std::mt19937_64 random(4);
  std::normal_distribution<double> normal;
  double value = 0;
  double squares = 0;
  constexpr int steps = 400'000;
  for (int k = 0; k < steps; ++k) {
    value = lag_step(value, normal(random), 0.1, 1);
    squares += value * value / steps;
  }
  EXPECT_NEAR(squares, .049958375, 0.03 * .05);  // 20 000 independent values: 1 % standard error
}

TEST(LagStep, LeavesOutWhatIsNotANumber) {
  EXPECT_EQ(lag_step(3, std::numeric_limits<double>::quiet_NaN(), 0.1, 1), 3);
  EXPECT_EQ(lag_step(3, std::numeric_limits<double>::infinity(), 0.1, 1), 3);
}

TEST(MedianOf, IsTheMiddleOne) {
  EXPECT_EQ(median_of<1>({4}), 4);
  EXPECT_EQ(median_of<3>({4, -900, 5}), 4);
  EXPECT_EQ(median_of<5>({4, 800, 5, -900, 4.5}), 4.5);
  EXPECT_EQ(median_of<4>({1, 2, 4, 800}), 3);
}

}  // namespace
}  // namespace leeward::control
