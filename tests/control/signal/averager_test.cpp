#include "control/signal/averager.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace leeward::control {
namespace {

/// Ratio of the stated variance of the mean to the true one, over many records of a first-order process.
double honesty(double tau_s, double record_s, int records) {
  std::mt19937_64 random(17);
  std::normal_distribution<double> normal;
  const double a = std::exp(-0.1 / tau_s);
  double stated = 0, true_square = 0;
  for (int r = 0; r < records; ++r) {
    double x = normal(random);
    Averager avg;
    for (int k = 0; k < static_cast<int>(record_s * 10); ++k) {
      add(avg, x, 0.1);
      x = a * x + std::sqrt(1 - a * a) * normal(random);
    }
    const AverageSummary s = summary(avg);
    stated += s.mean_se * s.mean_se / records;
    true_square += s.mean * s.mean / records;
  }
  return stated / true_square;
}

/// Variance of a T-second mean of a first-order process, in units of its variance (algebra).
double mean_variance(double tau, double t) { return 2 * tau / t * (1 - tau / t * (1 - std::exp(-t / tau))); }

TEST(Averager, MeansAndSignMeansAreThoseOfTheSamples) {
  Averager avg;
  for (const double v : {-1.0, 2.0, -3.0, 4.0, 0.0}) add(avg, v, 0.1);

  const AverageSummary s = summary(avg);

  EXPECT_EQ(s.count, 5);
  EXPECT_NEAR(s.mean, 0.4, 1e-12);
  EXPECT_NEAR(s.sd, 2.701851, 1e-6);
  EXPECT_NEAR(s.positive_mean, 3, 1e-12);
  EXPECT_NEAR(s.negative_mean, -2, 1e-12);
}

TEST(Averager, StatesTheErrorOfWhiteNoise) {
  std::mt19937_64 random(5);
  std::normal_distribution<double> normal;
  double stated = 0;
  for (int r = 0; r < 200; ++r) {
    Averager avg;
    for (int k = 0; k < 600; ++k) add(avg, normal(random), 0.1);
    stated += summary(avg).mean_se / 200;
  }
  EXPECT_NEAR(stated, 1 / std::sqrt(600.0), 0.2 / std::sqrt(600.0));
}

// The process of tau 8 s: T = 30, 60, 120 s give 0.3945, 0.2311, 0.1244 of its variance.
TEST(Averager, TheClosedFormOfTheMeanOfAFirstOrderProcess) {
  EXPECT_NEAR(mean_variance(8, 30), 0.394456, 1e-6);
  EXPECT_NEAR(mean_variance(8, 60), 0.2311, 1e-4);
  EXPECT_NEAR(mean_variance(8, 120), 0.1244, 1e-4);
}

TEST(Averager, IsHonestAboutGustsOfAFewSeconds) {
  for (const double tau_s : {1.0, 2.0, 4.0, 8.0})
    for (const double record_s : {60.0, 120.0, 240.0}) {
      const double ratio = honesty(tau_s, record_s, 600);
      EXPECT_GT(ratio, 0.8) << tau_s << " " << record_s;
      EXPECT_LT(ratio, 1.35) << tau_s << " " << record_s;
    }
}

TEST(Averager, ClaimsUpToTwiceTooMuchWhenTheGustsAreAsLongAsTheRecord) {
  EXPECT_GT(honesty(8, 30, 600), 0.5);
}

TEST(Averager, MergesBlocksWhenTheyRunOut) {
  Averager avg;
  for (int k = 0; k < 10 * 2000; ++k) add(avg, k % 2 == 0 ? 1.0 : -1.0, 0.1);
  EXPECT_GT(avg.block_s, 4);
  EXPECT_NEAR(summary(avg).mean, 0, 1e-12);
}

TEST(Averager, LeavesOutWhatIsNotANumber) {
  Averager avg;
  add(avg, 1, 0.1);
  add(avg, std::numeric_limits<double>::quiet_NaN(), 0.1);
  add(avg, 1, 0);
  EXPECT_EQ(summary(avg).count, 1);
}

}  // namespace
}  // namespace leeward::control
