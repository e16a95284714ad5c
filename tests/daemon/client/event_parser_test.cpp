#include "daemon/client/event_parser.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {

TEST(EventParser, PutsAnEventTogetherFromPieces) {
  EventParser parser;

  auto first = parser.feed("id: 7\nevent: ph");
  auto second = parser.feed("ase\ndata: {\"a\"");
  auto third = parser.feed(":1}\n\n");

  EXPECT_TRUE(first.empty());
  EXPECT_TRUE(second.empty());
  ASSERT_EQ(third.size(), 1U);
  EXPECT_EQ(third[0].id, "7");
  EXPECT_EQ(third[0].event, "phase");
  EXPECT_EQ(third[0].data, "{\"a\":1}");
}

TEST(EventParser, DropsCommentsAndEventsWithoutData) {
  EventParser parser;

  const auto events = parser.feed(": beat\n\nid: 3\n\ndata: x\r\n\r\n");

  ASSERT_EQ(events.size(), 1U);
  EXPECT_EQ(events[0].data, "x");
  EXPECT_EQ(events[0].id, "");
}

TEST(EventParser, JoinsSeveralDataLines) {
  EventParser parser;

  const auto events = parser.feed("data: a\ndata:b\n\n");

  ASSERT_EQ(events.size(), 1U);
  EXPECT_EQ(events[0].data, "a\nb");
}

TEST(EventParser, BreaksOnAnEventWithoutEnd) {
  EventParser parser;

  (void)parser.feed(std::string((1 << 20) + 1, 'x'));

  EXPECT_TRUE(parser.broken());
  EXPECT_TRUE(parser.feed("data: a\n\n").empty());
}

}  // namespace leeward::daemon
