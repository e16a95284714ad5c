#include "daemon/rig/misbehaviour.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;

const std::vector<std::uint8_t> kRightAnswer{0, 9, 0, 0, 0, 5, 1, 3, 2, 0, 7};
constexpr SteadyTime kAnswerTime{1s};

BusReply misbehaved(Misbehaviour kind, std::chrono::milliseconds pause = 0ms) {
  return misbehave(kind, kRightAnswer, kAnswerTime, pause);
}

TEST(Misbehave, NoneAndThoseThatLieInTheReadingsLeaveTheAnswer) {
  for (const auto kind : {Misbehaviour::none, Misbehaviour::not_a_number, Misbehaviour::counter_stands}) {
    ASSERT_EQ(misbehaved(kind).size(), 1U);
    EXPECT_EQ(misbehaved(kind)[0].bytes, kRightAnswer);
  }
}

TEST(Misbehave, LateIsTheRightAnswerAfterAQuarterOfASecondOrAsAsked) {
  EXPECT_EQ(misbehaved(Misbehaviour::late)[0].at, kAnswerTime + 250ms);
  EXPECT_EQ(misbehaved(Misbehaviour::late, 70ms)[0].at, kAnswerTime + 70ms);
  EXPECT_EQ(misbehaved(Misbehaviour::late)[0].bytes, kRightAnswer);
}

TEST(Misbehave, TrickleIsOneByteAtATime) {
  const BusReply reply = misbehaved(Misbehaviour::trickle);
  ASSERT_EQ(reply.size(), kRightAnswer.size());
  EXPECT_EQ(reply.back().at, kAnswerTime + 30ms * 11);
  EXPECT_EQ(reply.back().bytes, (std::vector<std::uint8_t>{7}));
}

TEST(Misbehave, TheRestSpoilsWhatItNames) {
  EXPECT_TRUE(misbehaved(Misbehaviour::silent).empty());
  EXPECT_NE(misbehaved(Misbehaviour::wrong_transaction)[0].bytes[0], kRightAnswer[0]);
  EXPECT_NE(misbehaved(Misbehaviour::wrong_unit)[0].bytes[6], kRightAnswer[6]);
  EXPECT_LT(misbehaved(Misbehaviour::stops_mid_frame)[0].bytes.size(), kRightAnswer.size());
  EXPECT_FALSE(misbehaved(Misbehaviour::stops_mid_frame)[0].then_close);
  EXPECT_TRUE(misbehaved(Misbehaviour::closes_mid_frame)[0].then_close);
  EXPECT_TRUE(misbehaved(Misbehaviour::closes)[0].bytes.empty());
}

}  // namespace
}  // namespace leeward::daemon
