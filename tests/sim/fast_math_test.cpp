#include "sim/fast_math.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::sim {
namespace {

TEST(FastMath, LogarithmFollowsTheLibraryOverTheWholeRange) {
  for (double x = 1e-300; x < 1e300; x *= 1.0371) {
    const double truth = std::log(x);
    EXPECT_NEAR(fast_log(x), truth, 2e-11 * std::max(1.0, std::abs(truth))) << x;
  }
  EXPECT_EQ(fast_log(1.0), 0.0);
}

TEST(FastMath, ExponentialFollowsTheLibraryOverTheWholeRange) {
  for (double x = -700; x <= 700; x += 0.0473) EXPECT_NEAR(fast_exp(x) / std::exp(x), 1, 1e-10) << x;
  EXPECT_EQ(fast_exp(0.0), 1.0);
}

TEST(FastMath, PowersOfLeaksAreGoodToABillionth) {
  for (double n = 0.5; n <= 1; n += 0.05)
    for (double pa = 0.05; pa < 3000; pa *= 1.13)
      EXPECT_NEAR(fast_pow(pa, n - 1) / std::pow(pa, n - 1), 1, 1e-9) << pa << " " << n;
}

TEST(FastMath, APairGivesTheBitsOfItsNumbers) {
  const Pair x{0.07, 812.5};
  const Pair y{-0.35, -0.41};
  const Pair both = fast_pow(x, y);
  EXPECT_EQ(both[0], fast_pow(x[0], y[0]));
  EXPECT_EQ(both[1], fast_pow(x[1], y[1]));
}

}  // namespace
}  // namespace leeward::sim
