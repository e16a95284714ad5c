#include "daemon/words/json.hpp"

#include <gtest/gtest.h>

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <memory>
#include <random>

#include "control/engine_config.hpp"
#include "control/event.hpp"
#include "control/trace.hpp"
#include "daemon/words/compare.hpp"

namespace leeward::daemon {
namespace {

using control::Errc;

double json_round_trip(double value) {
  const auto json = parse_json(json_text(to_json_value(value)));
  double back = 0;
  EXPECT_TRUE(json.has_value());
  EXPECT_TRUE(from_json_value(*json, back).has_value());
  return back;
}

bool json_same_bits(double a, double b) {
  return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b);
}

control::RestrictionSpec json_restriction() { return {"bore-290", 0.07, 0.5, 5, 250, 0.1, 0.02}; }

TEST(JsonValue, DoublesRoundTripBitForBit) {
  std::mt19937_64 random(1);

  for (int i = 0; i < 200000; ++i) {
    const double value = std::bit_cast<double>(random());
    if (std::isnan(value)) continue;
    ASSERT_TRUE(json_same_bits(json_round_trip(value), value)) << std::hexfloat << value;
  }
}

TEST(JsonValue, EdgesOfTheNumbersRoundTrip) {
  using Limits = std::numeric_limits<double>;
  for (const double value : {0.0, -0.0, Limits::min(), Limits::denorm_min(), Limits::max(), Limits::lowest(),
                             Limits::infinity(), -Limits::infinity(), Limits::quiet_NaN(), 50.0, 0.1})
    EXPECT_TRUE(json_same_bits(json_round_trip(value), value)) << value;
}

TEST(JsonValue, NanOfAnyBitsComesBackCanonical) {
  const double odd = std::bit_cast<double>(0xfff8000000000001ULL);

  EXPECT_TRUE(json_same_bits(json_round_trip(odd), std::numeric_limits<double>::quiet_NaN()));
}

TEST(JsonValue, WholeNumbersAreExactToTheirEnds) {
  for (const std::int64_t value :
       {std::numeric_limits<std::int64_t>::min(), std::numeric_limits<std::int64_t>::max(),
        std::int64_t{9007199254740993}}) {
    std::int64_t back = 0;
    const auto json = parse_json(json_text(to_json_value(value)));

    ASSERT_TRUE(from_json_value(*json, back).has_value());

    EXPECT_EQ(back, value);
  }
  std::uint64_t back = 0;
  const auto json = parse_json("18446744073709551615");
  ASSERT_TRUE(from_json_value(*json, back).has_value());
  EXPECT_EQ(back, std::numeric_limits<std::uint64_t>::max());
}

TEST(JsonValue, WholeNumberBeyondItsTypeIsRefused) {
  std::int32_t small = 7;
  EXPECT_EQ(from_json_value(nlohmann::json(3000000000LL), small).error().code, Errc::out_of_range);
  std::uint64_t positive = 7;
  EXPECT_EQ(from_json_value(nlohmann::json(-1), positive).error().code, Errc::out_of_range);
  EXPECT_EQ(from_json_value(nlohmann::json(2.9), small).error().code, Errc::wrong_type);
  EXPECT_EQ(small, 7);
}

TEST(JsonValue, DoubleTakesAHandWrittenWholeNumberUnlessDigitsAreLost) {
  double value = 0;

  EXPECT_TRUE(from_json_value(nlohmann::json(50), value).has_value());
  EXPECT_EQ(value, 50.0);
  EXPECT_EQ(from_json_value(nlohmann::json(9007199254740993LL), value).error().code, Errc::out_of_range);
}

TEST(JsonValue, StructWithListsTextsAndEnumsRoundTrips) {
  auto config = std::make_unique<control::EngineConfig>();
  config->rig_name = "d\u00e9mo \"quoted\"";
  config->silence_stop = control::SilenceStop::watchdog_relay;
  control::FanSpec fan;
  fan.restrictions.push_back(json_restriction());
  fan.curve.push_back({0.1, -0.0});
  config->fans.push_back(fan);

  const auto json = parse_json(json_text(to_json_value(*config)));
  auto back = std::make_unique<control::EngineConfig>();
  back->fans.push_back({});
  back->fans.push_back({});
  const auto read = from_json_value(*json, *back);

  ASSERT_TRUE(read.has_value()) << read.error().field << " " << read.error().text;
  EXPECT_EQ((*json)["silence_stop"], "watchdog_relay");
  EXPECT_FALSE(first_difference(*config, *back).has_value());
}

TEST(JsonValue, MissingKeyIsNamedByItsPath) {
  auto config = std::make_unique<control::EngineConfig>();
  config->fans.push_back({});
  config->fans[0].restrictions.push_back(json_restriction());
  auto json = to_json_value(*config);
  json["fans"][0]["restrictions"][0].erase("k_m3_s_pam");

  const auto read = from_json_value(json, *config);

  ASSERT_FALSE(read.has_value());
  EXPECT_EQ(read.error().code, Errc::missing_key);
  EXPECT_EQ(read.error().field, "fans[0].restrictions[0].k_m3_s_pam");
}

TEST(JsonValue, UnknownKeyIsNamedByItsPath) {
  control::LimitSpec limits;
  auto json = nlohmann::json{{"limits", to_json_value(limits)}};
  json["limits"]["building_presure_max_pa"] = 60;

  const auto read = from_json_value(json["limits"], limits);

  ASSERT_FALSE(read.has_value());
  EXPECT_EQ(read.error().code, Errc::unknown_key);
  EXPECT_EQ(read.error().field, "building_presure_max_pa");
}

TEST(JsonValue, WrongTypesAreRefusedWithTheirPath) {
  control::FanSpec fan;
  auto json = to_json_value(fan);
  json["name"] = 3;
  EXPECT_EQ(from_json_value(json, fan).error().field, "name");
  json = to_json_value(fan);
  json["curve"] = "none";
  EXPECT_EQ(from_json_value(json, fan).error().field, "curve");
  EXPECT_EQ(from_json_value(nlohmann::json::array(), fan).error().code, Errc::wrong_type);
  bool truth = false;
  EXPECT_EQ(from_json_value(nlohmann::json(1), truth).error().code, Errc::wrong_type);
}

TEST(JsonValue, TextAndListBeyondTheirRoomAreRefused) {
  control::FanSpec fan;
  auto json = to_json_value(fan);
  json["name"] = std::string(control::Name::capacity() + 1, 'x');
  EXPECT_EQ(from_json_value(json, fan).error().code, Errc::out_of_range);
  json = to_json_value(fan);
  json["curve"] = std::vector<int>(control::kMaxCurvePoints + 1, 0);
  EXPECT_EQ(from_json_value(json, fan).error().field, "curve");
  std::array<double, 3> three{};
  EXPECT_EQ(from_json_value(nlohmann::json{1, 2}, three).error().code, Errc::out_of_range);
}

TEST(JsonValue, EnumWordThatIsNotKnownIsRefused) {
  control::Direction direction = control::Direction::pressurize;

  EXPECT_FALSE(from_json_value(nlohmann::json("sideways"), direction).has_value());
  EXPECT_FALSE(from_json_value(nlohmann::json(0), direction).has_value());
  EXPECT_EQ(direction, control::Direction::pressurize);
}

enum class JsonNameless : std::uint8_t { first, second };

TEST(JsonValue, EnumWithoutNamesIsANumber) {
  JsonNameless value = JsonNameless::first;

  EXPECT_EQ(to_json_value(JsonNameless::second), nlohmann::json(1));
  ASSERT_TRUE(from_json_value(nlohmann::json(1), value).has_value());
  EXPECT_EQ(value, JsonNameless::second);
}

TEST(JsonText, ReplacesBytesThatAreNoUtf8) {
  const control::FixedText<3> cut(
      std::string_view("ab\u00e9"));  // the last letter has two bytes: half is cut off

  EXPECT_EQ(json_text(to_json_value(cut)), "\"ab\xEF\xBF\xBD\"");
}

TEST(ParseJson, RefusesDeepNestingAndBrokenText) {
  EXPECT_FALSE(parse_json(std::string(100000, '[')).has_value());
  EXPECT_FALSE(parse_json("{\"a\":1e999}").has_value());
  EXPECT_FALSE(parse_json("{\"a\":}").has_value());
  EXPECT_FALSE(parse_json("").has_value());
  EXPECT_TRUE(parse_json("{\"a\":\"[[[[[{{{\\\"[[\"}").has_value());
}

}  // namespace
}  // namespace leeward::daemon
