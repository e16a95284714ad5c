// What the screen must not believe, and what it must not doubt.

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>
#include <random>

#include "control/signal/screen.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

constexpr ScreenTuning kDoubtTuning{.low = -1000, .high = 1000, .max_rate_per_s = 160};
constexpr std::int64_t kDoubtPeriod = 100'000'000;

/// Reads the channel ten times a second.
struct DoubtfulChannel {
  ScreenState state;
  std::int64_t now_ns = 0;

  ScreenOutput read(double value) {
    now_ns += kDoubtPeriod;
    return screen_step(kDoubtTuning, state, {value, now_ns, Quality::good}, now_ns, false);
  }
};

TEST(ScreenDoubt, DoesNotTakeAStormForARowOfSpikes) {
  DoubtfulChannel channel;
  std::mt19937_64 random(6);
  std::normal_distribution<double> storm(-20, 15);  // changes by 21 Pa from reading to reading
  for (int k = 0; k < 300; ++k) (void)channel.read(storm(random));  // the unrest is learnt
  int fresh = 0;
  constexpr int readings = 20000;
  for (int k = 0; k < readings; ++k) fresh += channel.read(storm(random)).fresh ? 1 : 0;

  EXPECT_GE(fresh, readings - 6);  // 5 sigma of a learnt, so itself uncertain, unrest
}

TEST(ScreenDoubt, StillSeesASpikeInAStorm) {
  DoubtfulChannel channel;
  std::mt19937_64 random(6);
  std::normal_distribution<double> storm(-20, 15);
  for (int k = 0; k < 500; ++k) (void)channel.read(storm(random));

  EXPECT_TRUE(channel.read(600).spike);
}

TEST(ScreenDoubt, SeesASpikeRightAfterTheFirstReading) {
  DoubtfulChannel channel;
  (void)channel.read(900);

  EXPECT_TRUE(channel.read(0).spike);
}

TEST(ScreenDoubt, SeesEverySingleSpikeOnAQuietChannel) {
  DoubtfulChannel channel;
  for (int k = 0; k < 1000; ++k) {
    const bool spike = k % 20 == 19;
    const double quiet = 50 + 0.1 * (k % 3);
    const ScreenOutput out = channel.read(spike ? quiet + (k % 40 == 19 ? 60 : -60) : quiet);
    EXPECT_EQ(out.spike, spike) << k;
    EXPECT_NEAR(out.value, 50.1, 0.11) << k;
  }
  EXPECT_EQ(channel.state.spikes, 50);
}

TEST(ScreenDoubt, NeverDoubtsWhatTheFanCanDo) {  // 40 Pa/s, the fastest that the guard lets pass
  DoubtfulChannel channel;
  for (int k = 0; k < 20; ++k) EXPECT_TRUE(channel.read(4.0 * k).fresh) << k;
}

TEST(ScreenDoubt, FollowsATrueStepAfterTwoReadingsAtMostWithNoiseOnIt) {
  for (const double step : {30.0, 90.0, -300.0, 900.0}) {
    DoubtfulChannel channel;
    std::mt19937_64 random(9);
    std::normal_distribution<double> noise(0, 0.3);
    for (int k = 0; k < 100; ++k) (void)channel.read(noise(random));
    int delay = 0;
    while (!channel.read(step + noise(random)).fresh && delay < 10) ++delay;
    EXPECT_LE(delay, 1) << step;
  }
}

TEST(ScreenDoubt, DoesNotBelieveAStampFromTheFuture) {
  DoubtfulChannel channel;
  (void)channel.read(20);
  const std::int64_t ahead = channel.now_ns + 3'600'000'000'000;

  const ScreenOutput out =
      screen_step(kDoubtTuning, channel.state, {21, ahead, Quality::good}, channel.now_ns, false);
  EXPECT_EQ(out.quality, Quality::device_error);
  EXPECT_FALSE(out.fresh);

  EXPECT_TRUE(channel.read(22).fresh);
}

TEST(ScreenDoubt, BelievesAReadingTakenALittleAfterTheTickBegan) {
  DoubtfulChannel channel;
  (void)channel.read(20);
  channel.now_ns += kDoubtPeriod;

  const Reading late{21, channel.now_ns + 20'000'000, Quality::good};
  const ScreenOutput out = screen_step(kDoubtTuning, channel.state, late, channel.now_ns, false);

  EXPECT_TRUE(out.fresh);
  EXPECT_EQ(out.age_s, 0);
}

TEST(ScreenDoubt, TellsAFirstSampleAtTimeZeroFromItsRepetition) {
  ScreenState state;
  const Reading first{7, 0, Quality::good};

  EXPECT_TRUE(screen_step(kDoubtTuning, state, first, 0, false).fresh);
  EXPECT_EQ(screen_step(kDoubtTuning, state, first, kDoubtPeriod, false).quality, Quality::stale);
}

TEST(ScreenDoubt, FlagsTheReadingAfterAGap) {
  DoubtfulChannel channel;
  EXPECT_FALSE(channel.read(20).gap);
  EXPECT_FALSE(channel.read(20.1).gap);
  channel.now_ns += 400'000'000;

  EXPECT_TRUE(channel.read(20.2).gap);
  EXPECT_FALSE(channel.read(20.1).gap);
}

TEST(ScreenDoubt, PassesTheQualityOnThatTheDeviceGave) {
  for (const Quality q : {Quality::absent, Quality::stale, Quality::device_error, Quality::out_of_range}) {
    ScreenState state;
    const ScreenOutput out = screen_step(kDoubtTuning, state, {5, kDoubtPeriod, q}, kDoubtPeriod, false);
    EXPECT_EQ(out.quality, q);
    EXPECT_FALSE(out.usable);
  }
}

TEST(ScreenDoubt, LooksAtNoValueThatTheDeviceItselfFindsFaultWith) {
  DoubtfulChannel channel;
  (void)channel.read(5);
  const ScreenState before = channel.state;
  constexpr double inf = std::numeric_limits<double>::infinity();
  for (const Quality q : {Quality::out_of_range, Quality::not_finite, Quality::device_error})
    (void)screen_step(kDoubtTuning, channel.state, {inf, 2 * kDoubtPeriod, q}, 2 * kDoubtPeriod, false);

  EXPECT_EQ(channel.state, before);
}

TEST(ScreenDoubt, KeepsAllItRemembersInItsDescription) {
  DoubtfulChannel channel;
  for (int k = 0; k < 12; ++k) (void)channel.read(k % 5 == 4 ? 800 : k);
  ScreenState copy;

  ScreenState::describe([&](const char*, auto member) { copy.*member = channel.state.*member; });

  EXPECT_EQ(copy, channel.state);
}

TEST(ScreenDoubt, GivesFiniteAnswersForStampsFromOneEndOfTheClockToTheOther) {
  std::mt19937_64 random(11);
  constexpr double inf = std::numeric_limits<double>::infinity();
  const std::array<double, 7> odd = {
      std::numeric_limits<double>::quiet_NaN(), inf, -inf, 1e300, -1000, 0, 12};
  ScreenState state;
  std::int64_t now = 0;
  const std::size_t allocations = test::allocations();
  for (int k = 0; k < 200'000; ++k) {
    const bool wild = random() % 50 == 0;
    now = wild ? static_cast<std::int64_t>(random()) : now;
    now = static_cast<std::int64_t>(static_cast<std::uint64_t>(now) + random() % 300'000'000);
    const std::int64_t stamp = random() % 20 == 0 ? static_cast<std::int64_t>(random()) : now;
    const Reading r{odd[random() % odd.size()], stamp, static_cast<Quality>(random() % 6)};
    const ScreenOutput out = screen_step(kDoubtTuning, state, r, now, random() % 2 == 0);
    ASSERT_TRUE(std::isfinite(out.value) && std::abs(out.value) <= 1000);
    ASSERT_TRUE(std::isfinite(out.age_s) && out.age_s >= 0);
    ASSERT_TRUE(!out.fresh || out.quality == Quality::good);
  }
  EXPECT_EQ(test::allocations(), allocations);
}

}  // namespace
}  // namespace leeward::control
