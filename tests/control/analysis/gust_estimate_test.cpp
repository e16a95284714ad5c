#include "control/analysis/gust_estimate.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "control/analysis/gust_grid.hpp"

namespace leeward::control {
namespace {

TEST(MeanSd, FollowsTheClosedFormOfAFirstOrderProcess) {
  // Variance of a 30 s mean with an integral time of 8 s: 0.394456 of the process (algebra; 0.392 simulated).
  EXPECT_NEAR(std::pow(mean_sd_pa({1, 8}, 30), 2), 0.394456, 1e-6);
  EXPECT_NEAR(std::pow(mean_sd_pa({3, 8}, 120), 2) / 9, 0.1244, 5e-5);
  EXPECT_NEAR(mean_sd_pa({2, 8}, 1e-9), 2, 1e-9);
}

TEST(SecondsForMeanSd, IsTheInverse) {
  const GustProcess gusts{2, 12};
  EXPECT_NEAR(seconds_for_mean_sd(gusts, mean_sd_pa(gusts, 47)), 47, 1e-6);
  EXPECT_EQ(seconds_for_mean_sd(gusts, 2.5), 0);
  EXPECT_TRUE(std::isinf(seconds_for_mean_sd(gusts, 0)));
}

/// Block means of a first-order process, stepped finely.
WindowBlocks gusty_window(const GustProcess& g, double seconds, std::mt19937& rng, double& sd) {
  std::normal_distribution<double> gauss;
  WindowBlocks blocks;
  const double keeps = std::exp(-0.1 / g.time_s);
  double d = g.sd_pa * gauss(rng);
  double sum = 0;
  double squares = 0;
  const int count = static_cast<int>(seconds * 10);
  for (int i = 0; i < count; ++i) {
    d = keeps * d + g.sd_pa * std::sqrt(1 - keeps * keeps) * gauss(rng);
    add(blocks, d - 3, 0, 0.1);
    sum += d;
    squares += d * d;
  }
  sd = std::sqrt(squares / count - std::pow(sum / count, 2));
  return blocks;
}

TEST(GustsIn, FindsSizeAndTimeOnAverage) {
  std::mt19937 rng(11);
  for (const GustProcess& truth : {GustProcess{1.2, 6}, GustProcess{3, 15}}) {
    double ln_size = 0;
    double ln_time = 0;
    for (int i = 0; i < 300; ++i) {
      double sd = 0;
      const WindowBlocks blocks = gusty_window(truth, 80, rng, sd);
      const GustProcess found = gusts_in(blocks, sd);
      ln_size += std::log(found.sd_pa / truth.sd_pa) / 300;
      ln_time += std::log(found.time_s / truth.time_s) / 300;
    }
    // 80 s are few gusts: the prior pulls the time towards 15 s, and the size goes with it, never short.
    EXPECT_GT(ln_size, -0.1);
    EXPECT_LT(ln_size, 0.25);
    EXPECT_GT(ln_time, -0.1);
    EXPECT_LT(ln_time, std::max(0.2, std::log(15 / truth.time_s)));
  }
}

TEST(GustsIn, FallsBackWhereThereIsTooLittle) {
  EXPECT_EQ(gusts_in({}, 1.5), (GustProcess{1.5, 15}));
  EXPECT_EQ(gusts_in({}, std::nan("")), (GustProcess{kLeastGusts, kLikelyGustTime}));
}

}  // namespace
}  // namespace leeward::control
