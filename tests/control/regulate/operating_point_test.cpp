#include "control/regulate/operating_point.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::control {
namespace {

/// A fan whose flow is proportional to demand whatever the pressure: a very steep curve.
FanCurve flow_source() {
  FixedVector<CurvePoint, kMaxCurvePoints> points;
  points.push_back({0.0, 2e8});
  points.push_back({1.0, 1e8});
  points.push_back({2.0, 0.0});
  return *FanCurve::make(points);
}

// G2: a fan with flow proportional to demand on q = C P^n has dP/du = P / (n u).
// n = 0.65, u = 0.6 at 50 Pa: 128.2 Pa per unit; at 10 Pa with the same fan 72.99; ratio 5^(1-n) = 1.7565
// (algebra).
TEST(OperatingPoint, G2GainOfAPowerLawHouse) {
  HouseCurve house = house_prior(400);
  house.pair.b = 0.65;
  house.pair.var_a = house.pair.var_b = 0;  // known: nothing is held back for doubt
  const FanCurve curve = flow_source();
  const RestrictionSpec open{.name = "open", .k_m3_s_pam = 1, .signal_max_pa = 1e9};
  FanMap exact;
  exact.pair.a = 0;
  // The level at which 50 Pa needs a demand of 0.6.
  double low = -10, high = 5;
  for (int i = 0; i < 200; ++i) {
    house.pair.a = 0.5 * (low + high);
    const PlantView view{house, exact, curve, open, 1, 400};
    (feedforward_frac(view, 50, 1) < 0.6 ? low : high) = house.pair.a;
  }
  const PlantView view{house, exact, curve, open, 1, 400};

  EXPECT_NEAR(plant_gain_pa(view, 50, 1), 128.2, 0.3);
  EXPECT_NEAR(plant_gain_pa(view, 10, 1), 72.99, 0.2);
}

TEST(OperatingPoint, ZoneTimeIsComplianceOverLeakSlope) {
  HouseCurve house = house_prior(400);
  const FanCurve curve = flow_source();
  const RestrictionSpec open{.name = "open", .k_m3_s_pam = 1, .signal_max_pa = 1e9};
  const PlantView view{house, {}, curve, open, 1, 400};

  const double slope = 0.65 * flow_at(house, 50) / 50;

  // The steep fan gives way by about 1e-8 m3/(s Pa): nothing beside the leaks.
  EXPECT_NEAR(zone_time_s(view, 50) / (1.5 * 400 / (1.2 * 101325) / slope), 1, 1e-3);
  EXPECT_GT(zone_time_s(view, 50), zone_time_s(view, 10));
}

TEST(OperatingPoint, AnOpenFanLetsATightHouseAnswerFaster) {
  HouseCurve tight = house_prior(400);
  tight.pair.a -= 2;
  FixedVector<CurvePoint, kMaxCurvePoints> points;
  points.push_back({0.0, 300.0});
  points.push_back({1.0, 255.0});
  points.push_back({2.5, 0.0});
  const FanCurve soft = *FanCurve::make(points);
  const FanCurve hard = flow_source();
  const RestrictionSpec open{.name = "open", .k_m3_s_pam = 0.2, .signal_max_pa = 1e9};

  EXPECT_LT(zone_time_s({tight, {}, soft, open, 1, 400}, 50),
            0.3 * zone_time_s({tight, {}, hard, open, 1, 400}, 50));
}

TEST(OperatingPoint, AHouseHardlyKnownIsTakenForATightOne) {
  HouseCurve known = house_prior(400);
  const HouseCurve unknown = known;
  known.pair.var_a = known.pair.var_b = 0;
  const FanCurve curve = flow_source();
  const RestrictionSpec open{.name = "open", .k_m3_s_pam = 1, .signal_max_pa = 1e9};

  EXPECT_LT(feedforward_frac({unknown, {}, curve, open, 1, 400}, 10, 1),
            feedforward_frac({known, {}, curve, open, 1, 400}, 10, 1));
}

}  // namespace
}  // namespace leeward::control
