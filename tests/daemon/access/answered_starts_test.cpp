#include "daemon/access/answered_starts.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
using Starts = AnsweredStarts<std::string>;

TEST(AnsweredStartsByKey, GivesTheFirstAnswerAgain) {
  Starts starts;
  EXPECT_EQ(starts.begin("a", "k", "body").state, KeyState::fresh);
  EXPECT_EQ(starts.begin("a", "k", "body").state, KeyState::under_way);
  starts.answered("a", "k", "run-1");

  const auto again = starts.begin("a", "k", "body");
  ASSERT_EQ(again.state, KeyState::answered);
  EXPECT_EQ(*again.answer, "run-1");
  EXPECT_EQ(starts.begin("a", "k", "another").state, KeyState::other_body);
  EXPECT_EQ(starts.begin("b", "k", "body").state, KeyState::fresh);
}

TEST(AnsweredStartsByKey, WhatCameToNothingMayBeTriedAgain) {
  Starts starts;
  (void)starts.begin("a", "k", "body");
  starts.forget("a", "k");

  EXPECT_EQ(starts.begin("a", "k", "corrected").state, KeyState::fresh);
}

TEST(AnsweredStartsByKey, ForgetsTheOldest) {
  Starts starts;
  for (std::size_t i = 0; i <= Starts::kMost; ++i) (void)starts.begin("a", std::to_string(i), "x");

  EXPECT_EQ(starts.begin("a", "0", "x").state, KeyState::fresh);
  EXPECT_EQ(starts.begin("a", "64", "x").state, KeyState::under_way);
}

}  // namespace leeward::daemon
