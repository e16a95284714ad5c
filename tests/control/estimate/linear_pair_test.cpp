#include "control/estimate/linear_pair.hpp"

#include <gtest/gtest.h>

#include <limits>

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

}  // namespace
}  // namespace leeward::control
