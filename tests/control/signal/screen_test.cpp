#include "control/signal/screen.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace leeward::control {
namespace {

/// A channel read ten times a second, by hand.
class ScreenStory : public ::testing::Test {
 protected:
  ScreenOutput read(double value, bool moving = false) {
    now_ns_ += 100'000'000;
    return out_ = screen_step(tuning_, state_, {value, now_ns_, Quality::good}, now_ns_, moving);
  }
  ScreenOutput miss(Quality quality = Quality::absent) {
    now_ns_ += 100'000'000;
    return out_ = screen_step(tuning_, state_, {0, now_ns_, quality}, now_ns_, false);
  }

  ScreenTuning tuning_{
      .low = -1000, .high = 1000, .missing_s = 0.3, .frozen_s = 2, .saturated_s = 0.2, .max_rate_per_s = 160};
  ScreenState state_;
  ScreenOutput out_;
  std::int64_t now_ns_ = 0;
};

TEST_F(ScreenStory, BelievesNothingUntilAGoodReadingHasCome) {
  EXPECT_FALSE(miss().usable);
  EXPECT_FALSE(read(std::nan("")).usable);
  EXPECT_EQ(out_.quality, Quality::not_finite);
  EXPECT_TRUE(read(3).usable);
  EXPECT_EQ(out_.value, 3);
}

TEST_F(ScreenStory, KeepsTheLastValueUntilItIsTooOld) {
  read(20);
  EXPECT_TRUE(miss().usable);
  EXPECT_FALSE(out_.fresh);
  EXPECT_EQ(out_.value, 20);
  EXPECT_TRUE(miss().usable);
  EXPECT_FALSE(miss().usable);
  EXPECT_NEAR(out_.age_s, 0.3, 1e-9);
}

TEST_F(ScreenStory, TellsAnOldSampleFromANewOne) {
  read(20);
  const ScreenOutput again = screen_step(tuning_, state_, {25, now_ns_, Quality::good}, now_ns_, false);
  EXPECT_EQ(again.quality, Quality::stale);
  EXPECT_FALSE(again.fresh);
  EXPECT_EQ(again.value, 20);
}

TEST_F(ScreenStory, DropsASpikeAndCountsIt) {
  read(20);
  EXPECT_FALSE(read(400).fresh);
  EXPECT_TRUE(out_.spike);
  EXPECT_EQ(out_.value, 20);
  EXPECT_TRUE(read(21).fresh);
  EXPECT_EQ(state_.spikes, 1);
}

TEST_F(ScreenStory, BelievesATrueStepOneSampleLater) {
  read(0);
  EXPECT_FALSE(read(90).fresh);
  EXPECT_TRUE(read(91).fresh);
  EXPECT_EQ(out_.value, 91);
}

TEST_F(ScreenStory, CallsAValueFrozenThatShouldMove) {
  read(30);
  for (int k = 0; k < 19; ++k) EXPECT_FALSE(read(30, true).frozen) << k;
  EXPECT_FALSE(out_.frozen);
  read(30, true);
  EXPECT_TRUE(read(30, true).frozen);
  EXPECT_FALSE(read(30.1, true).frozen);
}

TEST_F(ScreenStory, LetsAQuietChannelStandStill) {
  for (int k = 0; k < 1000; ++k) EXPECT_FALSE(read(50).frozen);
}

TEST_F(ScreenStory, CallsANoisyChannelFrozenThatFallsSilent) {
  for (int k = 0; k < 600; ++k) read(50 + 0.1 * static_cast<double>(k * 7 % 3));
  int ticks = 0;
  while (!read(50).frozen && ticks < 100) ++ticks;
  EXPECT_LT(ticks, 40);
}

TEST_F(ScreenStory, KnowsSoonWhetherAGaugeFlickers) {
  for (int k = 0; k < 60; ++k) read(k % 4 == 0 ? 50.0 : 50.0 + 0.1 * (k % 4));  // it never stays

  int ticks = 1;
  while (!read(50).frozen && ticks < 100) ++ticks;

  EXPECT_LE(ticks, 21) << "2 s after the first that is the same";
}

TEST_F(ScreenStory, SeesASensorAtItsEnd) {
  read(900);
  read(1000);
  read(1000);
  EXPECT_TRUE(read(1000).saturated);
}

TEST_F(ScreenStory, CallsWhatIsBeyondTheRangeOutOfRange) {
  read(20);
  EXPECT_EQ(read(1200).quality, Quality::out_of_range);
  EXPECT_FALSE(out_.fresh);
  EXPECT_EQ(out_.value, 20);
}

TEST(Screen, GivesFiniteAnswersWhateverItIsFed) {
  std::mt19937_64 random(11);
  const double odd[] = {std::numeric_limits<double>::quiet_NaN(),
                        std::numeric_limits<double>::infinity(),
                        -1e300,
                        1e300,
                        0,
                        12};
  const ScreenTuning tuning{.low = -1000, .high = 1000, .max_rate_per_s = 160};
  ScreenState state;
  std::int64_t now = 0;
  for (int k = 0; k < 200'000; ++k) {
    now += static_cast<std::int64_t>(random() % 300'000'000) - 50'000'000;
    const Reading r{odd[random() % 6], now - static_cast<std::int64_t>(random() % 2) * 100'000'000,
                    static_cast<Quality>(random() % 6)};
    const ScreenOutput out = screen_step(tuning, state, r, now, random() % 2 == 0);
    ASSERT_TRUE(std::isfinite(out.value));
    ASSERT_LE(std::abs(out.value), 1000);
    ASSERT_TRUE(std::isfinite(out.age_s));
  }
}

}  // namespace
}  // namespace leeward::control
