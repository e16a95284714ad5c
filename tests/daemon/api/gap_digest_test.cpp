#include "daemon/api/gap_digest.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {
using control::Event;
using control::EventKind;

control::Events gap_events(std::int64_t skipped) {
  control::Events events;
  events.push_back({EventKind::sample_gap, skipped, 0, 0, 0});
  return events;
}
}  // namespace

TEST(GapDigest, TellsTheFirstAtOnceAndTheRestSummedUpEveryFiveSeconds) {
  GapDigest digest;
  std::vector<Event> told;
  for (std::int64_t ms = 1'000'000; ms < 1'012'000; ms += 100)
    for (const Event& event : digest.thin(gap_events(2), ms)) told.push_back(event);

  ASSERT_EQ(told.size(), 3U);
  EXPECT_EQ(told[0].a, 2);
  EXPECT_EQ(told[0].x, 0);
  EXPECT_EQ(told[1].a, 100);  // 50 ticks of 2
  EXPECT_EQ(told[1].x, 5);
  EXPECT_EQ(told[2].a, 100);
}

TEST(GapDigest, WhatWaitsIsToldWhenTheGapsAreOver) {
  GapDigest digest;
  (void)digest.thin(gap_events(1), 1000);
  (void)digest.thin(gap_events(7), 1100);

  EXPECT_TRUE(digest.thin({}, 5900).empty());
  const control::Events late = digest.thin({}, 6000);

  ASSERT_EQ(late.size(), 1U);
  EXPECT_EQ(late[0].a, 7);
  EXPECT_TRUE(digest.thin({}, 20'000).empty());
}

TEST(GapDigest, AClockThatWasSetBackHoldsNothingBack) {
  GapDigest digest;
  (void)digest.thin(gap_events(1), 1'000'000);

  EXPECT_EQ(digest.thin(gap_events(3), 500'000).size(), 1U);
}

TEST(GapDigest, OtherEventsPassAndMissedPeriodsAreCountedApart) {
  GapDigest digest;
  control::Events events = gap_events(1);
  events.push_back({EventKind::tick_late, 4, 0, 0, 0});
  events.push_back({EventKind::paused, 0, 0, 0, 0});

  EXPECT_EQ(digest.thin(events, 1000).size(), 3U);
  const control::Events next = digest.thin(events, 1100);

  ASSERT_EQ(next.size(), 1U);
  EXPECT_EQ(next[0].kind, EventKind::paused);
}

}  // namespace leeward::daemon
