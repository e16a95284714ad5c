#include "daemon/service/recent_pressure.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {
constexpr std::int64_t kTickNs = 100'000'000;
}

TEST(RecentPressureWindow, IsTheStandardDeviationOfTheLastTenSeconds) {
  RecentPressure recent;
  for (int i = 0; i < 500; ++i) recent.add(i * kTickNs, i < 300 ? 1000.0 * i : (i % 2 == 0 ? 10 : 12), true);

  // Source: n = 100 values, half at -1 and half at +1 about the mean: sqrt(100 / 99)
  EXPECT_NEAR(recent.unrest_pa(), std::sqrt(100.0 / 99.0), 1e-12);
}

TEST(RecentPressureWindow, LeavesOutBadReadingsAndBeginsAnewWhereTimeGoesBack) {
  RecentPressure recent;
  EXPECT_TRUE(std::isnan(recent.unrest_pa()));
  recent.add(5 * kTickNs, 1, true);
  recent.add(6 * kTickNs, 500, false);
  recent.add(7 * kTickNs, std::nan(""), true);
  EXPECT_TRUE(std::isnan(recent.unrest_pa()));
  recent.add(8 * kTickNs, 1, true);
  EXPECT_EQ(recent.unrest_pa(), 0);

  recent.add(kTickNs, 7, true);
  EXPECT_TRUE(std::isnan(recent.unrest_pa()));
}

}  // namespace leeward::daemon
