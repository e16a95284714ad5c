#include "daemon/api/event_hub.hpp"

#include <gtest/gtest.h>

#include "tests/daemon/api/fake_backend.hpp"

namespace leeward::daemon {
namespace {
constexpr std::int64_t kFirstId = 1000;

SnapshotPtr hub_sample(std::int64_t stamp_ns) {
  Snapshot snapshot;
  snapshot.sample.stamp_ns = stamp_ns;
  return std::make_shared<const Snapshot>(snapshot);
}

SnapshotPtr hub_phase_change(std::int64_t stamp_ns) {
  Snapshot snapshot;
  snapshot.sample.stamp_ns = stamp_ns;
  snapshot.events.push_back(
      {.kind = control::EventKind::phase_changed, .a = static_cast<std::int64_t>(control::Phase::hold)});
  return std::make_shared<const Snapshot>(snapshot);
}

std::size_t hub_count(const std::string& text, const std::string& part) {
  std::size_t count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++count;
  return count;
}
}  // namespace

class EventHubRing : public testing::Test {
 protected:
  control::EngineConfig config_ = fake_config();
  EventHub hub_{config_, kFirstId};
};

TEST_F(EventHubRing, GivesEventsThenTheSampleWithRisingIds) {
  const auto queue = hub_.subscribe(std::nullopt, [] {});

  hub_.publish(hub_phase_change(1));
  hub_.drain();

  const std::string text = sse_text(queue->take());
  EXPECT_LT(text.find("id: 1000\nevent: phase\n"), text.find("id: 1001\nevent: sample\n")) << text;
}

TEST_F(EventHubRing, SkippedSamplesDoNotFloodTheReaders) {
  const auto queue = hub_.subscribe(std::nullopt, [] {});

  for (std::int64_t tick = 1; tick <= 40; ++tick) {
    Snapshot snapshot;
    snapshot.sample.stamp_ns = tick;
    snapshot.sample.wall_unix_ms = 1'000'000 + 100 * tick;
    snapshot.events.push_back({.kind = control::EventKind::sample_gap, .a = 1});
    hub_.publish(std::make_shared<const Snapshot>(snapshot));
    hub_.drain();
  }

  EXPECT_EQ(hub_count(sse_text(queue->take()), "Sample periods skipped"), 1U);
}

TEST_F(EventHubRing, OnlyTheNewestSampleWaits) {
  const auto queue = hub_.subscribe(std::nullopt, [] {});

  for (int i = 1; i <= 50; ++i) hub_.publish(hub_sample(i));
  hub_.drain();

  EXPECT_EQ(queue->size(), 1U);
  EXPECT_NE(sse_text(queue->take()).find("id: 1049\n"), std::string::npos);
}

TEST_F(EventHubRing, AReaderGoesOnWhereItWasCutOff) {
  for (int i = 1; i <= 5; ++i) hub_.publish(hub_phase_change(i));  // ids 1000, 1002, 1004, ... are phases
  hub_.drain();

  const auto queue = hub_.subscribe(1004, [] {});

  const std::string text = sse_text(queue->take());
  EXPECT_EQ(hub_count(text, "event: phase"), 2U) << text;
  EXPECT_EQ(text.find("id: 1004\n"), std::string::npos);
  EXPECT_EQ(text.find("event: gap"), std::string::npos);
}

TEST_F(EventHubRing, AnIdFromBeforeTheStartGivesAGapAndAllThereIs) {
  hub_.publish(hub_phase_change(1));
  hub_.drain();

  const std::string before = sse_text(hub_.subscribe(7, [] {})->take());
  const std::string beyond = sse_text(hub_.subscribe(99'999'999, [] {})->take());

  EXPECT_EQ(hub_count(before, "event: gap"), 1U);
  EXPECT_EQ(hub_count(before, "event: phase"), 1U);
  EXPECT_EQ(hub_count(beyond, "event: gap"), 1U);
}

TEST_F(EventHubRing, AnIdThatFellOutOfTheRingGivesAGap) {
  for (int i = 1; i <= 1100; ++i) {
    hub_.publish(hub_phase_change(i));
    hub_.drain();
  }

  const std::string text = sse_text(hub_.subscribe(kFirstId, [] {})->take());

  EXPECT_EQ(hub_count(text, "event: gap"), 1U);
  EXPECT_EQ(hub_count(text, "event: phase"), 1024U);
}

TEST_F(EventHubRing, ATardyServingThreadLosesSamplesNotEvents) {
  const auto queue = hub_.subscribe(std::nullopt, [] {});

  hub_.publish(hub_phase_change(1));
  for (int i = 2; i <= 1000; ++i) hub_.publish(hub_sample(i));
  hub_.drain();

  EXPECT_EQ(hub_count(sse_text(queue->take()), "event: phase"), 1U);
}

TEST_F(EventHubRing, NotifiesOnceUntilDrained) {
  int notes = 0;
  hub_.set_notify([&notes] { ++notes; });

  hub_.publish(hub_sample(1));
  hub_.publish(hub_sample(2));
  EXPECT_EQ(notes, 1);
  hub_.drain();
  hub_.publish(hub_sample(3));

  EXPECT_EQ(notes, 2);
}

TEST_F(EventHubRing, AReaderThatLeavesDuringAWakeIsForgotten) {
  std::shared_ptr<StreamQueue> queue;
  queue = hub_.subscribe(std::nullopt, [&] { hub_.unsubscribe(queue); });

  hub_.publish(hub_sample(1));
  hub_.drain();

  EXPECT_EQ(hub_.reader_count(), 0U);
}

TEST(StreamQueue, OverflowsWithAGapAndThenTakesNothing) {
  StreamQueue queue(4);
  const auto text = std::make_shared<const std::string>("x");
  for (int i = 0; i < 5; ++i) queue.push({i, false, "phase", text});

  EXPECT_TRUE(queue.overflowed());
  EXPECT_NE(sse_text(queue.take()).find("event: gap"), std::string::npos);
  EXPECT_TRUE(queue.empty());
  queue.push({9, false, "phase", text});
  EXPECT_TRUE(queue.empty());
}

TEST(StreamQueue, SamplesDoNotPushOutEvents) {
  StreamQueue queue(2);
  queue.push({1, false, "phase", std::make_shared<const std::string>("a")});
  queue.push({2, false, "phase", std::make_shared<const std::string>("b")});
  queue.push({3, true, "sample", std::make_shared<const std::string>("s")});

  EXPECT_FALSE(queue.overflowed());
  const std::vector<StreamItem> items = queue.take();
  ASSERT_EQ(items.size(), 2U);
  EXPECT_EQ(*items[0].data + *items[1].data, "ab");
}

}  // namespace leeward::daemon
