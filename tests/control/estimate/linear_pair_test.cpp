#include "control/estimate/linear_pair.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <vector>

namespace leeward::control {
namespace {

// Recursive least squares of y = 2 + 3x at x = 0, 1, 2 from 0 with P0 = 100: computed with numpy.
TEST(LinearPair, FollowsTheKnownRecursion) {
  LinearPair pair{0, 0, 100, 0, 100};

  pair = observe(pair, 0, 2, 1);
  EXPECT_NEAR(pair.a, 1.98019802, 1e-8);
  EXPECT_NEAR(pair.b, 0, 1e-12);
  pair = observe(pair, 1, 5, 1);
  EXPECT_NEAR(pair.a, 2.00951364, 1e-8);
  EXPECT_NEAR(pair.b, 2.96087758, 1e-8);
  pair = observe(pair, 2, 8, 1);
  EXPECT_NEAR(pair.a, 1.99832240, 1e-8);
  EXPECT_NEAR(pair.b, 2.99501653, 1e-8);
}

// NIST StRD Norris, certified: B0 = -0.262323073774029, B1 = 1.00211681802045.
TEST(LinearPair, EndsNearTheCertifiedLineOfNorris) {
  constexpr double xy[][2] = {
      {.2, .1},       {337.4, 338.8}, {118.2, 118.1}, {884.6, 888.0}, {10.1, 9.2},    {226.5, 228.1},
      {666.3, 668.5}, {996.3, 998.5}, {448.6, 449.1}, {777.0, 778.9}, {558.2, 559.2}, {.4, .3},
      {.6, .1},       {775.5, 778.1}, {666.9, 668.8}, {338.0, 339.3}, {447.5, 448.9}, {11.6, 10.8},
      {556.0, 557.7}, {228.1, 228.3}, {995.8, 998.0}, {887.6, 888.8}, {120.2, 119.6}, {.3, .3},
      {.3, .6},       {556.8, 557.6}, {339.1, 339.3}, {887.2, 888.0}, {999.0, 998.5}, {779.0, 778.9},
      {11.1, 10.2},   {118.3, 117.6}, {229.2, 228.9}, {669.1, 668.4}, {448.9, 449.2}, {.5, .2}};
  LinearPair pair{0, 0, 1e8, 0, 1e8};

  for (const auto& row : xy) pair = observe(pair, row[0], row[1], 1);

  EXPECT_NEAR(pair.a, -0.262323073774029, 2.4e-5);
  EXPECT_NEAR(pair.b, 1.00211681802045, 1.3e-8);
}

TEST(LinearPair, LeavesThePairAloneForWhatIsNotANumber) {
  const LinearPair before{1, 2, 3, 0, 4};
  const double nan = std::numeric_limits<double>::quiet_NaN();

  EXPECT_EQ(observe(before, nan, 1, 1), before);
  EXPECT_EQ(observe(before, 1, nan, 1), before);
  EXPECT_EQ(observe(before, 1, 1, nan), before);
  EXPECT_EQ(observe(before, 1, 1, 0), before);
}

/// Slope through the origin, its standard error and the residual standard deviation.
struct ThroughOrigin {
  double slope = 0;
  double slope_se = 0;
  double residual_s = 0;
};

ThroughOrigin through_origin(const std::vector<double>& x, const std::vector<double>& y) {
  constexpr double prior_variance = 100;
  LinearPair pair{.a = 0, .b = 0, .var_a = 0, .cov_ab = 0, .var_b = prior_variance};
  for (std::size_t i = 0; i < x.size(); ++i) pair = observe(pair, x[i], y[i], 1);
  // Least squares has no prior: its precision is taken off again.
  const double precision = 1 / pair.var_b - 1 / prior_variance;
  const double slope = pair.b / pair.var_b / precision;
  double squares = 0;
  for (std::size_t i = 0; i < x.size(); ++i) squares += std::pow(y[i] - slope * x[i], 2);
  const double s = std::sqrt(squares / static_cast<double>(x.size() - 1));
  return {slope, s / std::sqrt(precision), s};
}

// NIST StRD, NoInt1 and NoInt2. The recursion loses digits where the first value shrinks its variance: 1e-9.
TEST(Observe, WithTheInterceptKnownMeetsNoInt1AndNoInt2) {
  std::vector<double> x;
  std::vector<double> y;
  for (int i = 0; i <= 10; ++i) {
    x.push_back(60 + i);
    y.push_back(130 + i);
  }

  const ThroughOrigin first = through_origin(x, y);
  const ThroughOrigin second = through_origin({4, 5, 6}, {3, 4, 4});

  EXPECT_NEAR(first.slope, 2.07438016528926, 1e-9);
  EXPECT_NEAR(first.slope_se, 0.0165289256198347, 1e-9);
  EXPECT_NEAR(first.residual_s, 3.56753034006338, 1e-9);
  EXPECT_NEAR(second.slope, 0.727272727272727, 1e-9);
  EXPECT_NEAR(second.slope_se, 0.0420827318078432, 1e-9);
  EXPECT_NEAR(second.residual_s, 0.369274472937998, 1e-9);
}

}  // namespace
}  // namespace leeward::control
