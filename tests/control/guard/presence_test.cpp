#include "control/guard/presence.hpp"

#include <gtest/gtest.h>

#include <limits>
#include <vector>

namespace leeward::control {
namespace {

constexpr double kInterval = 600;

/// Moves the time on, second by second.
std::vector<PresenceNews> pass(PresenceState& state, int seconds, bool fan_driven = true,
                               double interval_s = kInterval) {
  std::vector<PresenceNews> news;
  for (int k = 0; k < seconds; ++k) {
    const PresenceNews told = presence_step(state, {1.0, interval_s, fan_driven});
    if (told != PresenceNews::none) news.push_back(told);
  }
  return news;
}

TEST(Presence, IsOffWhereNoSignIsAskedFor) {
  PresenceState state;

  EXPECT_TRUE(pass(state, 100'000, true, 0).empty());
  EXPECT_EQ(state, PresenceState{});
  EXPECT_TRUE(pass(state, 10, true, std::numeric_limits<double>::quiet_NaN()).empty());
  EXPECT_EQ(state, PresenceState{});
}

TEST(Presence, WarnsAtFourFifthsOfTheIntervalAndOnce) {
  PresenceState state;

  EXPECT_TRUE(pass(state, 479).empty());
  EXPECT_EQ(pass(state, 1), std::vector{PresenceNews::warned});
  EXPECT_TRUE(pass(state, 119).empty());
  EXPECT_FALSE(keeps_low(state));
}

TEST(Presence, LowersAtTheEndOfTheInterval) {
  PresenceState state;
  (void)pass(state, 599);

  EXPECT_EQ(pass(state, 1), std::vector{PresenceNews::lowered});
  EXPECT_EQ(state.stage, PresenceStage::lowered);
  EXPECT_TRUE(keeps_low(state));
  EXPECT_EQ(silence_allowed_s(state, kInterval), 2 * kInterval);
}

TEST(Presence, WarnsAgainBeforeTheEndOfTheSecondInterval) {
  PresenceState state;
  (void)pass(state, 600);

  EXPECT_TRUE(pass(state, 479).empty());
  EXPECT_EQ(pass(state, 1), std::vector{PresenceNews::warned});
}

TEST(Presence, BeginsAnewWithEverySign) {
  PresenceState state;
  for (int k = 0; k < 10; ++k) {
    EXPECT_EQ(pass(state, 500), std::vector{PresenceNews::warned});
    EXPECT_FALSE(presence_heard(state));
  }
  EXPECT_EQ(state.stage, PresenceStage::here);
  EXPECT_EQ(state.silent_s, 0);
}

TEST(Presence, StaysLowAfterASignUntilSomebodySaysSo) {
  PresenceState state;
  (void)pass(state, 700);

  EXPECT_TRUE(presence_heard(state));
  EXPECT_EQ(state.stage, PresenceStage::back);
  EXPECT_TRUE(keeps_low(state));
  EXPECT_FALSE(presence_heard(state));
  EXPECT_TRUE(keeps_low(state));
  presence_goes_on(state);
  EXPECT_EQ(state.stage, PresenceStage::here);
  EXPECT_EQ(state.silent_s, 0);
}

TEST(Presence, GivesWhoCameBackOneIntervalBeforeTheFanGoesOff) {
  PresenceState state;
  (void)pass(state, 1000);
  (void)presence_heard(state);

  EXPECT_EQ(silence_allowed_s(state, kInterval), kInterval);
  EXPECT_EQ(pass(state, 600), std::vector{PresenceNews::warned});
  EXPECT_EQ(state.silent_s, 600);
  EXPECT_EQ(state.stage, PresenceStage::back);
}

TEST(Presence, CountsNothingWhileTheFanStands) {
  PresenceState state;
  (void)pass(state, 500);

  EXPECT_TRUE(pass(state, 10'000, false).empty());
  EXPECT_FALSE(state.counts);
  EXPECT_TRUE(pass(state, 479).empty());
  EXPECT_TRUE(state.counts);
}

TEST(Presence, ForgetsNoSilenceWhereThePressureIsLowAlready) {
  PresenceState state;
  (void)pass(state, 700);
  (void)pass(state, 100, false);

  EXPECT_EQ(state.silent_s, 700);
  EXPECT_TRUE(keeps_low(state));
}

TEST(Presence, DoesNothingForASignWhereNoneIsAskedFor) {
  PresenceState state;

  EXPECT_FALSE(presence_heard(state));
  presence_goes_on(state);
  EXPECT_EQ(state, PresenceState{});
}

}  // namespace
}  // namespace leeward::control
