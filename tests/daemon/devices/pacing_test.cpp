#include <gtest/gtest.h>

#include "daemon/devices/back_off.hpp"
#include "daemon/devices/pacer.hpp"
#include "daemon/devices/poll_schedule.hpp"

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;

TEST(BackOff, MendsAtOnceThenDoublesFromFiftyMillisecondsToTwoSeconds) {
  BackOff back_off;
  std::vector<int> waits_ms;
  for (int i = 0; i < 9; ++i) waits_ms.push_back(static_cast<int>(back_off.failed().count()));
  EXPECT_EQ(waits_ms, (std::vector{0, 50, 100, 200, 400, 800, 1600, 2000, 2000}));

  back_off.worked();
  EXPECT_EQ(back_off.failed(), 0ms);
}

TEST(Pacer, LatenessDoesNotAddUp) {
  const Pacer::Time start{1s};
  Pacer pacer(start, 100ms);

  EXPECT_EQ(pacer.begin(start + 30ms), 0);
  EXPECT_EQ(pacer.due(), start + 100ms);
}

TEST(Pacer, MissedTicksAreCountedAndNotCaughtUp) {
  const Pacer::Time start{1s};
  Pacer pacer(start, 100ms);

  EXPECT_EQ(pacer.begin(start + 350ms), 3);
  EXPECT_EQ(pacer.due(), start + 400ms);
}

TEST(PollSchedule, SleepsMostOfTheIntervalAndThenLooksOften) {
  const PollSchedule::Time start{1s};
  PollSchedule schedule(100ms);
  (void)schedule.after_count(start, 1);

  EXPECT_EQ(schedule.after_count(start + 100ms, 1), start + 170ms);
  EXPECT_EQ(schedule.after_nothing(start + 170ms), start + 175ms);
}

TEST(PollSchedule, FollowsARigThatRunsAHundredTimesFaster) {
  const PollSchedule::Time start{1s};
  PollSchedule schedule(100ms);
  (void)schedule.after_count(start, 1);

  const auto next = schedule.after_count(start + 70ms, 70);  // 1000 counts a second
  EXPECT_EQ(next, start + 70ms + 700us);
  EXPECT_EQ(schedule.after_nothing(next), next + 50us);
}

TEST(PollSchedule, AfterASilenceItDoesNotSleepLongerThanAPeriod) {
  const PollSchedule::Time start{1s};
  PollSchedule schedule(100ms);
  (void)schedule.after_count(start, 1);
  EXPECT_EQ(schedule.after_count(start + 10s, 1), start + 10s + 70ms);
}

}  // namespace
}  // namespace leeward::daemon
