#include "daemon/access/rate_limit.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(RateLimitBucket, LetsABurstPassAndThenASteadyRate) {
  RateLimit limit({.per_s = 2, .burst = 3});

  int passed = 0;
  for (int i = 0; i < 10; ++i) passed += limit.pass("a", 0) ? 1 : 0;
  EXPECT_EQ(passed, 3);

  passed = 0;
  for (int i = 1; i <= 100; ++i) passed += limit.pass("a", i * 0.1) ? 1 : 0;
  EXPECT_NEAR(passed, 20, 1);
  EXPECT_TRUE(limit.pass("b", 10));
}

TEST(RateLimitBucket, DoesNotGrowWithTheNumberOfStrangers) {
  RateLimit limit({.per_s = 0.001, .burst = 1});

  for (int i = 0; i < 100'000; ++i) (void)limit.pass(std::to_string(i), i * 1e-6);

  EXPECT_LE(limit.callers(), 1024U);
}

}  // namespace leeward::daemon
