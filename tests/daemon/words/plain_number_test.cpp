#include "daemon/words/plain_number.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "daemon/words/json.hpp"

namespace leeward::daemon {

TEST(PlainNumber, GivesAFloatTheDigitsThatItCameWith) {
  EXPECT_EQ(plain_number(static_cast<double>(23.1F)), 23.1);
  EXPECT_EQ(plain_number(static_cast<double>(-0.004F)), -0.004);
  EXPECT_EQ(plain_number(static_cast<double>(101325.2F)), 101325.2);
}

TEST(PlainNumber, LeavesEveryOtherNumberAsItIs) {
  for (const double value : {0.1, 23.100000000000001, 1.0 / 3, 50.0, 0.5, 1073741824.0, 1.7e12, 1e300})
    EXPECT_EQ(plain_number(value), value);
  EXPECT_TRUE(std::signbit(plain_number(-0.0)));
  EXPECT_TRUE(std::isnan(plain_number(std::numeric_limits<double>::quiet_NaN())));
  EXPECT_TRUE(std::isinf(plain_number(std::numeric_limits<double>::infinity())));
}

TEST(PlainNumber, KeepsTheSameFloat) {
  std::uint32_t state = 1;
  for (int i = 0; i < 20'000; ++i) {
    state = state * 1664525U + 1013904223U;
    const auto single = std::bit_cast<float>(state);
    if (!std::isfinite(single)) continue;
    EXPECT_EQ(static_cast<float>(plain_number(static_cast<double>(single))), single);
  }
}

TEST(MakePlain, ReachesEveryNumberAndNothingElse) {
  const double noisy = static_cast<double>(23.1F);
  nlohmann::json json = {{"a", noisy}, {"list", {1, noisy, {{"b", noisy}}}}, {"text", "23.100000381469727"}};

  make_plain(json);

  EXPECT_EQ(json_text(json), R"({"a":23.1,"list":[1,23.1,{"b":23.1}],"text":"23.100000381469727"})");
}

}  // namespace leeward::daemon
