#include "control/regulate/operating_point.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::control {
namespace {

/// A fan whose flow is proportional to demand whatever the pressure: a very steep curve.
FanCurve flow_source() {
  FixedVector<CurvePoint, kMaxCurvePoints> points;
  points.push_back({0.0, 2e6});
  points.push_back({1.0, 1e6});
  points.push_back({2.0, 0.0});
  return *FanCurve::make(points);
}

// G2: a fan with flow proportional to demand on q = C P^n has dP/du = P / (n u).
// n = 0.65, u = 0.6 at 50 Pa: 128.2 Pa per unit; at 10 Pa with the same fan 72.99; ratio 5^(1-n) = 1.7565
// (algebra).
TEST(OperatingPoint, G2GainOfAPowerLawHouse) {
  HouseCurve house = house_prior(400);
  house.pair.b = 0.65;
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

  EXPECT_NEAR(zone_time_s(view, 50), 1.5 * 400 / (1.2 * 101325) / slope, 1e-9);
  EXPECT_GT(zone_time_s(view, 50), zone_time_s(view, 10));
}

}  // namespace
}  // namespace leeward::control
