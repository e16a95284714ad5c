#include "daemon/api/event_json.hpp"

#include <gtest/gtest.h>

#include "tests/daemon/api/fake_backend.hpp"

namespace leeward::daemon {
namespace {
using control::EventKind;

std::vector<StreamMessage> messages_of_event(const control::Event& event, const Snapshot* before = nullptr) {
  Snapshot now;
  now.run_id = "run-1";
  now.events.push_back(event);
  return messages_of(now, now.events, before, fake_config());
}
}  // namespace

TEST(MessagesOf, EveryKindOfEventHasANameAndAText) {
  for (int kind = 0; kind <= static_cast<int>(EventKind::request_refused); ++kind) {
    const auto messages = messages_of_event({.kind = static_cast<EventKind>(kind), .a = 1, .b = 0});
    ASSERT_FALSE(messages.empty()) << kind;
    EXPECT_FALSE(messages[0].name.empty()) << kind;
    EXPECT_EQ(messages[0].data["run_id"], "run-1") << kind;
  }
}

TEST(MessagesOf, AnAnsweredAskIsDescribedFromBefore) {
  Snapshot before;
  before.state.asks.push_back({.id = 3, .kind = control::AskKind::fit_restriction, .restriction = 1});

  const auto messages = messages_of_event(
      {.kind = EventKind::ask_answered, .a = 3, .b = static_cast<std::int64_t>(control::Answer::done)},
      &before);

  EXPECT_EQ(messages[0].name, "ask");
  EXPECT_EQ(messages[0].data["state"], "answered");
  EXPECT_EQ(messages[0].data["answer"], "done");
  EXPECT_EQ(messages[0].data["restriction"], "bore-290");
}

TEST(MessagesOf, AnExtraTickWithoutReadingsGivesNoSample) {
  Snapshot before;
  before.sample.stamp_ns = 5;
  Snapshot now = before;

  EXPECT_TRUE(messages_of(now, now.events, &before, fake_config()).empty());
  now.sample.stamp_ns = 6;
  EXPECT_EQ(messages_of(now, now.events, &before, fake_config()).size(), 1U);
}

TEST(MessagesOf, AResultComesAfterItsVerdicts) {
  Snapshot now;
  now.run_id = "run-1";
  control::CheckSpec check;
  check.kind = control::CheckKind::station_count;
  check.has_low = true;
  check.low = 5;
  now.state.record.procedure.checks.push_back(check);
  now.state.result.computed = true;
  now.state.result.verdicts.push_back(
      {.check = 0, .direction = -1, .outcome = control::CheckOutcome::passed});
  now.events.push_back({.kind = EventKind::result_ready, .a = 1});

  const auto messages = messages_of(now, now.events, nullptr, fake_config());

  ASSERT_GE(messages.size(), 2U);
  EXPECT_EQ(messages[0].name, "verdict");
  EXPECT_EQ(messages[1].name, "result");
  EXPECT_EQ(messages[1].data["run_id"], "run-1");
}

}  // namespace leeward::daemon
