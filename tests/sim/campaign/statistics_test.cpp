#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "sim/campaign/ar_index.hpp"
#include "sim/campaign/bootstrap.hpp"
#include "sim/campaign/percentile.hpp"
#include "sim/campaign/share_interval.hpp"
#include "sim/campaign/sign_test.hpp"
#include "sim/rng.hpp"

namespace leeward::sim {
namespace {

std::vector<double> normal_sample(std::size_t size, std::uint64_t seed) {
  Rng rng(seed);
  std::vector<double> values(size);
  for (double& v : values) v = rng.normal();
  return values;
}

TEST(Percentile, LiesBetweenTheTwoNearestRanks) {
  const std::vector<double> tens{1, 2, 3, 4, 5, 6, 7, 8, 9, 10};

  // by the formula, computed here
  EXPECT_DOUBLE_EQ(percentile(tens, 0.5), 5.5);
  EXPECT_DOUBLE_EQ(percentile(tens, 0.95), 9.55);
  EXPECT_DOUBLE_EQ(percentile(tens, 0), 1);
  EXPECT_DOUBLE_EQ(percentile(tens, 1), 10);
}

TEST(Percentile, OfNothingIsNoNumber) {
  EXPECT_TRUE(std::isnan(percentile({}, 0.5)));
  EXPECT_TRUE(std::isnan(mean({})));
  EXPECT_TRUE(std::isnan(rms({})));
}

TEST(Percentile, RmsOfThreeAndFour) {
  const std::vector<double> values{3, -4};

  EXPECT_DOUBLE_EQ(rms(values), std::sqrt(12.5));
  EXPECT_DOUBLE_EQ(mean(values), -0.5);
}

TEST(Bootstrap, FindsTheStandardErrorsOfMeanAndMedian) {
  const std::vector<double> values = normal_sample(2000, 5);
  const std::vector<Statistic> statistics{mean, [](std::span<const double> v) { return percentile(v, 0.5); }};

  const auto intervals = bootstrap_intervals(values, statistics, 1);

  // Of a normal sample: 1 / sqrt(n) for the mean, sqrt(pi / 2) times that for the median (textbook, from
  // memory). A thousand resamples leave some 4 % of doubt, the sample itself some more; relative.
  const double error = 1.96 / std::sqrt(2000.0);
  EXPECT_NEAR((intervals[0].high - intervals[0].low) / 2 / error, 1, 0.12);
  EXPECT_NEAR((intervals[1].high - intervals[1].low) / 2 / error, std::sqrt(M_PI / 2), 0.25);
  EXPECT_LT(intervals[0].low, mean(values));
  EXPECT_GT(intervals[0].high, mean(values));
}

TEST(Bootstrap, GivesTheSameBitsForTheSameSeedInWhateverOrderTheValuesCome) {
  std::vector<double> values = normal_sample(50, 7);
  const std::vector<Statistic> statistics{mean};

  const auto first = bootstrap_intervals(values, statistics, 3, 100);
  std::reverse(values.begin(), values.end());
  const auto again = bootstrap_intervals(values, statistics, 3, 100);
  const auto other = bootstrap_intervals(values, statistics, 4, 100);

  EXPECT_EQ(first[0].low, again[0].low);
  EXPECT_EQ(first[0].high, again[0].high);
  EXPECT_NE(first[0].low, other[0].low);
}

TEST(Bootstrap, OfNothingIsNoNumber) {
  const std::vector<Statistic> statistics{mean};

  EXPECT_TRUE(std::isnan(bootstrap_intervals({}, statistics, 1)[0].low));
}

TEST(ShareInterval, IsTheScoreInterval) {
  // Textbook values for ten trials, from memory: 0 gives 0 to 0.2775, 5 give 0.2366 to 0.7634.
  EXPECT_NEAR(share_interval(0, 10).low, 0, 1e-12);
  EXPECT_NEAR(share_interval(0, 10).high, 0.2775, 5e-5);
  EXPECT_NEAR(share_interval(5, 10).low, 0.2366, 5e-5);
  EXPECT_NEAR(share_interval(5, 10).high, 0.7634, 5e-5);
  EXPECT_NEAR(share_interval(10, 10).high, 1, 1e-12);
}

TEST(SignTest, GivesTheBinomialTails) {
  // 2 (1 + 10 + 45) / 2^10, 2 / 2^5, and 1000 pairs by exact integers: computed here
  EXPECT_NEAR(sign_test_p(2, 8), 0.109375, 1e-12);
  EXPECT_NEAR(sign_test_p(5, 0), 0.0625, 1e-12);
  EXPECT_NEAR(sign_test_p(450, 550), 0.00173053608, 1e-9);
}

TEST(SignTest, SaysNothingWhereNothingDiffers) {
  EXPECT_EQ(sign_test_p(0, 0), 1);
  EXPECT_EQ(sign_test_p(7, 7), 1);
}

/// y = 0.8 y + a, a = sum of 12 numbers of a linear congruential generator less 6: data that any program can
/// make.
std::vector<double> published_series() {
  std::uint64_t state = 12345;
  double y = 0;
  std::vector<double> out;
  for (int t = 0; t < 2000; ++t) {
    double a = -6;
    for (int i = 0; i < 12; ++i) {
      state = (1103515245U * state + 12345U) % 2147483648U;
      a += static_cast<double>(state) / 2147483648.0;
    }
    y = 0.8 * y + a;
    out.push_back(y);
  }
  return out;
}

TEST(ArIndex, OfAKnownModelIsTheFormula) {
  for (const double phi : {0.8, 0.95}) {
    const ArModel model{.phi = {phi}, .variance = 1 - phi * phi, .mean_square_y = 1};

    // Harris index of a first-order process: 1 - phi^(2 d)
    for (const std::size_t d : {1U, 2U, 3U, 5U})
      EXPECT_NEAR(unpredictable_share(model, d), 1 - std::pow(phi, 2.0 * static_cast<double>(d)), 1e-12);
  }
}

TEST(ArIndex, FromDataMatchesAnIndependentFit) {
  const ArModel model = fit_ar(published_series(), 10);

  // The same least squares by elimination in another language, computed here.
  EXPECT_NEAR(unpredictable_share(model, 1), 0.351290, 1e-6);
  EXPECT_NEAR(unpredictable_share(model, 2), 0.579356, 1e-6);
  EXPECT_NEAR(unpredictable_share(model, 3), 0.729338, 1e-6);
}

TEST(ArIndex, OfWhiteNoiseIsOneAndOfTooFewValuesNoNumber) {
  EXPECT_NEAR(unpredictable_share(fit_ar(normal_sample(5000, 2), 5), 10), 1, 0.01);
  EXPECT_TRUE(std::isnan(unpredictable_share(fit_ar(normal_sample(100, 2), 40), 10)));
  EXPECT_TRUE(std::isnan(unpredictable_share(fit_ar(std::vector<double>(500, 0.0), 40), 10)));
}

}  // namespace
}  // namespace leeward::sim
