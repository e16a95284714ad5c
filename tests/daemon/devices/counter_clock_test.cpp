#include "daemon/devices/counter_clock.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

using CountedAdvance = CounterClock::Advance;

TEST(CounterClock, EachCountIsOnePeriod) {
  CounterClock clock(65536);
  (void)clock.on_count(100);
  EXPECT_EQ(clock.on_count(101), (CountedAdvance{.periods = 1, .skipped = 0}));
}

TEST(CounterClock, SkippedCountsAreToldAndTheirTimePasses) {
  CounterClock clock(65536);
  (void)clock.on_count(100);
  EXPECT_EQ(clock.on_count(105), (CountedAdvance{.periods = 5, .skipped = 4}));
}

TEST(CounterClock, WrapsByItsType) {
  CounterClock clock(65536);
  (void)clock.on_count(65534);
  EXPECT_EQ(clock.on_count(1), (CountedAdvance{.periods = 3, .skipped = 2}));
}

TEST(CounterClock, TimeOfMissingSamplesDoesNotPassTwice) {
  CounterClock clock(65536);
  (void)clock.on_count(100);
  clock.on_missing(1);
  clock.on_missing(2);
  EXPECT_EQ(clock.on_count(110), (CountedAdvance{.periods = 7, .skipped = 9}));
  EXPECT_EQ(clock.on_count(111), (CountedAdvance{.periods = 1, .skipped = 0}));
}

TEST(CounterClock, TimeNeverStandsEvenWhereMoreSamplesWereMissingThanCounted) {
  CounterClock clock(65536);
  (void)clock.on_count(100);
  clock.on_missing(4);
  EXPECT_EQ(clock.on_count(102), (CountedAdvance{.periods = 1, .skipped = 1}));
}

TEST(CounterClock, ACountThatGoesBackIsARestartOfOnePeriod) {
  CounterClock clock(1ULL << 32U);
  (void)clock.on_count(5000);
  EXPECT_EQ(clock.on_count(3), (CountedAdvance{.periods = 1, .skipped = 1}));
  EXPECT_EQ(clock.on_count(4), (CountedAdvance{.periods = 1, .skipped = 0}));
}

}  // namespace
}  // namespace leeward::daemon
