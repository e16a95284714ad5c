#include "daemon/words/figures.hpp"

#include <gtest/gtest.h>

#include <limits>

namespace leeward::daemon {
namespace {

TEST(Figures, CarryTheirUnit) {
  EXPECT_EQ(pressure_text(50.249), "50.2 Pa");
  EXPECT_EQ(pressure_text(-3.0), "-3.0 Pa");
  EXPECT_EQ(target_text(50), "50 Pa");
  EXPECT_EQ(target_text(12.5), "12.5 Pa");
  EXPECT_EQ(flow_text(0.5), "1800 m3/h");
  EXPECT_EQ(flow_text(0.01), "36.0 m3/h");
  EXPECT_EQ(percent_text(0.434), "43 %");
  EXPECT_EQ(seconds_text(40), "40 s");
  EXPECT_EQ(seconds_text(200), "3 min 20 s");
}

TEST(Figures, ShowThreeDigitsAndNoExponent) {
  EXPECT_EQ(figure_text(123456, "m3/h"), "123456 m3/h");
  EXPECT_EQ(figure_text(12.345, "Pa"), "12.3 Pa");
  EXPECT_EQ(figure_text(0.0456, ""), "0.0456");
  EXPECT_EQ(figure_text(0, "s"), "0 s");
}

TEST(Figures, NeverShowAMinusOnZero) {
  EXPECT_EQ(pressure_text(-0.0), "0.0 Pa");
  EXPECT_EQ(pressure_text(-0.01), "0.0 Pa");
  EXPECT_EQ(figure_text(-0.0, "Pa"), "0 Pa");
}

TEST(Figures, SayWhenANumberIsNotKnown) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(pressure_text(nan), "not known");
  EXPECT_EQ(flow_text(std::numeric_limits<double>::infinity()), "not known");
  EXPECT_EQ(figure_text(nan, "Pa"), "not known");
  EXPECT_EQ(seconds_text(nan), "not known");
}

TEST(Figures, TellTheSideOfASignedPressureInWords) {
  EXPECT_EQ(side_text(-50.2), "50.2 Pa below outdoors");
  EXPECT_EQ(side_text(10), "10.0 Pa above outdoors");
}

}  // namespace
}  // namespace leeward::daemon
