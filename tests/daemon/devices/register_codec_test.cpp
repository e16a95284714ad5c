#include "daemon/devices/register_codec.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace leeward::daemon {
namespace {

ChannelSpec codec_channel(RegisterType type, WordOrder order = WordOrder::big, double scale = 1,
                          double offset = 0) {
  return {.name = "any", .type = type, .word_order = order, .scale = scale, .offset = offset};
}

double round_trip(const ChannelSpec& channel, double value) {
  const auto words = encode_value(channel, value);
  return words ? decode_value(channel, words->view()) : std::numeric_limits<double>::quiet_NaN();
}

TEST(RegisterCodec, PacksAFloatHighWordFirstOrLowWordFirst) {
  // 50.25 is 0x42490000 in IEEE 754 single precision (computed here: 1.1001001b * 2^5).
  const auto big = encode_value(codec_channel(RegisterType::float32), 50.25);
  const auto little = encode_value(codec_channel(RegisterType::float32, WordOrder::little), 50.25);

  ASSERT_TRUE(big && little);
  EXPECT_EQ(big->words, (std::array<std::uint16_t, 2>{0x4249, 0x0000}));
  EXPECT_EQ(little->words, (std::array<std::uint16_t, 2>{0x0000, 0x4249}));
}

TEST(RegisterCodec, EveryFloatSurvivesTheRoundTripInBothWordOrders) {
  std::mt19937 random(7);
  std::uniform_real_distribution<float> values(-1000, 1000);
  for (const WordOrder order : {WordOrder::big, WordOrder::little})
    for (int i = 0; i < 1000; ++i) {
      const auto value = static_cast<double>(values(random));
      EXPECT_EQ(round_trip(codec_channel(RegisterType::float32, order), value), value);
    }
}

TEST(RegisterCodec, EveryWholeNumberOfItsRangeSurvivesTheRoundTrip) {
  std::mt19937_64 random(8);
  const auto check = [&](RegisterType type, double low, double high) {
    std::uniform_real_distribution<double> values(low, high);
    for (const WordOrder order : {WordOrder::big, WordOrder::little})
      for (int i = 0; i < 1000; ++i) {
        const double value = std::nearbyint(values(random));
        EXPECT_EQ(round_trip(codec_channel(type, order), value), value);
      }
  };
  check(RegisterType::int16, -32768, 32767);
  check(RegisterType::uint16, 0, 65535);
  check(RegisterType::int32, -2147483648.0, 2147483647.0);
  check(RegisterType::uint32, 0, 4294967295.0);
}

TEST(RegisterCodec, ScaleAndOffsetAreUndoneOnWritingToHalfACount) {
  const ChannelSpec tenths = codec_channel(RegisterType::int16, WordOrder::big, 0.1, -20);
  for (double value = -50; value <= 50; value += 0.37)
    EXPECT_NEAR(round_trip(tenths, value), value, 0.05 + 1e-9);  // absolute: half a count of 0.1
}

TEST(RegisterCodec, WhatIsBeyondTheTypeIsSaturated) {
  EXPECT_EQ(round_trip(codec_channel(RegisterType::int16), 40000), 32767);
  EXPECT_EQ(round_trip(codec_channel(RegisterType::int16), -40000), -32768);
  EXPECT_EQ(round_trip(codec_channel(RegisterType::uint16), -1), 0);
  EXPECT_EQ(round_trip(codec_channel(RegisterType::uint32), 1e12), 4294967295.0);
  EXPECT_TRUE(std::isfinite(round_trip(codec_channel(RegisterType::float32), 1e300)));
}

TEST(RegisterCodec, WhatIsNotFiniteIsNeverWritten) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const double infinite = std::numeric_limits<double>::infinity();
  for (const RegisterType type : {RegisterType::int16, RegisterType::float32, RegisterType::bit}) {
    EXPECT_FALSE(encode_value(codec_channel(type), nan));
    EXPECT_FALSE(encode_value(codec_channel(type), infinite));
    EXPECT_FALSE(encode_value(codec_channel(type, WordOrder::big, 0), 1));
  }
}

TEST(RegisterCodec, NotANumberInARegisterIsPassedOn) {
  const std::array<std::uint16_t, 2> nan{0x7FC0, 0};
  EXPECT_TRUE(std::isnan(decode_value(codec_channel(RegisterType::float32), nan)));
}

TEST(RegisterCodec, ABitIsAnyWordButZero) {
  EXPECT_EQ(round_trip(codec_channel(RegisterType::bit), 1), 1);
  EXPECT_EQ(round_trip(codec_channel(RegisterType::bit), 0), 0);
  EXPECT_EQ(decode_value(codec_channel(RegisterType::bit), std::array<std::uint16_t, 1>{7}), 1);
}

TEST(RegisterCodec, ACounterIsReadBareAndKnowsWhereItWraps) {
  const ChannelSpec scaled = codec_channel(RegisterType::uint32, WordOrder::big, 0.5, 3);
  EXPECT_EQ(decode_count(scaled, std::array<std::uint16_t, 2>{1, 2}), 65538U);
  EXPECT_EQ(decode_count(codec_channel(RegisterType::int16), std::array<std::uint16_t, 1>{0xFFFF}), 65535U);
  EXPECT_EQ(count_modulus(RegisterType::uint16), 65536U);
  EXPECT_EQ(count_modulus(RegisterType::int32), 4294967296U);
}

}  // namespace
}  // namespace leeward::daemon
