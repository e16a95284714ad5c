#include "control/estimate/house_curve.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

namespace leeward::control {
namespace {

HouseReading reading_of(double c, double n, double pressure_pa) {
  return {.dt_s = 0.1,
          .pressure_pa = pressure_pa,
          .flow_m3_s = c * std::pow(pressure_pa, n),
          .flow_relative_u = 0.01};
}

TEST(HouseCurve, FindsLevelAndExponentFromAClimb) {
  HouseCurve curve = house_prior(400);

  for (int i = 0; i < 600; ++i) curve = learn(curve, reading_of(0.02, 0.7, 5.0 + 0.075 * i));

  EXPECT_NEAR(exponent(curve), 0.7, 0.01);
  EXPECT_NEAR(flow_at(curve, 50) / (0.02 * std::pow(50, 0.7)), 1.0, 0.005);
  EXPECT_LT(flow_relative_u_at(curve, 50), 0.05);
}

TEST(HouseCurve, KnowsTheLevelButNotTheExponentFromOnePressure) {
  HouseCurve curve = house_prior(0);
  const double before_u = std::sqrt(curve.pair.var_b);

  for (int i = 0; i < 100; ++i) curve = learn(curve, reading_of(0.3, 0.6, 10));

  EXPECT_NEAR(flow_at(curve, 10) / (0.3 * std::pow(10, 0.6)), 1.0, 0.02);
  EXPECT_GT(flow_relative_u_at(curve, 60), 2 * flow_relative_u_at(curve, 10));
  EXPECT_GT(std::sqrt(curve.pair.var_b), 0.8 * before_u);
}

TEST(HouseCurve, FollowsAnOpeningThatAppears) {
  HouseCurve curve = house_prior(400);
  for (int i = 0; i < 600; ++i) curve = learn(curve, reading_of(0.02, 0.65, 50));

  for (int i = 0; i < 1200; ++i) curve = learn(curve, reading_of(0.03, 0.65, 50));

  EXPECT_NEAR(flow_at(curve, 50) / (0.03 * std::pow(50, 0.65)), 1.0, 0.1);
}

TEST(HouseCurve, LearnsNothingFromReadingsThatTellNothing) {
  const HouseCurve before = house_prior(400);

  EXPECT_EQ(learn(before, {.dt_s = 0.1, .pressure_pa = 0.5, .flow_m3_s = 1}), before);
  EXPECT_EQ(learn(before, {.dt_s = 0.1, .pressure_pa = 10, .flow_m3_s = 0}), before);
  EXPECT_EQ(learn(before, {.dt_s = 0.0, .pressure_pa = 10, .flow_m3_s = 1}), before);
  EXPECT_EQ(learn(before, {.dt_s = 0.1, .pressure_pa = std::nan(""), .flow_m3_s = 1}), before);
  EXPECT_EQ(learn(before, {.dt_s = 0.1, .pressure_pa = 10, .flow_m3_s = 1, .storage_flow_m3_s = 0.9}),
            before);
}

}  // namespace
}  // namespace leeward::control
