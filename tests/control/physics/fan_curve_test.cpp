#include "control/physics/fan_curve.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace leeward::control {
namespace {

using CurvePoints = FixedVector<CurvePoint, kMaxCurvePoints>;

CurvePoints curve_points(std::initializer_list<CurvePoint> list) {
  CurvePoints points;
  for (const CurvePoint& p : list) points.push_back(p);
  return points;
}

FanCurve usual_curve() { return FanCurve::make(curve_points({{0, 300}, {1, 255}, {2, 120}})).value(); }

/// A curve of random falling points, with the affinity law and the inverse to be tried on it.
FanCurve random_curve(std::mt19937& rng) {
  std::uniform_real_distribution<double> step(0.1, 1.0);
  CurvePoints points;
  double flow = 0;
  double rise = 400;
  for (int i = 0; i < 6; ++i) {
    points.push_back({flow, rise});
    flow += step(rng);
    rise -= 70 * step(rng);
  }
  return FanCurve::make(points).value();
}

TEST(FanCurve, MeetsItsPoints) {
  const FanCurve curve = usual_curve();

  EXPECT_DOUBLE_EQ(curve.full_rise_pa(0), 300);
  EXPECT_DOUBLE_EQ(curve.full_rise_pa(1), 255);
  EXPECT_DOUBLE_EQ(curve.full_rise_pa(2), 120);
}

TEST(FanCurve, GoesOnStraightToFreeDeliveryAndBeyond) {
  const FanCurve curve = usual_curve();

  EXPECT_NEAR(curve.free_flow_m3_s(), 2 + 120.0 / 135.0, 1e-12);  // last chord 135 Pa a m3/s
  EXPECT_NEAR(curve.full_rise_pa(curve.free_flow_m3_s()), 0, 1e-10);
  EXPECT_NEAR(curve.full_rise_pa(4), 120 - 2 * 135.0, 1e-10);
  EXPECT_NEAR(curve.full_rise_pa(-1), 345, 1e-10);  // first chord 45 Pa a m3/s
}

TEST(FanCurve, IsAStraightLineThroughPointsOnOne) {
  const FanCurve curve = FanCurve::make(curve_points({{0, 300}, {0.5, 250}, {2, 100}, {2.5, 50}})).value();

  for (double q = -1; q < 4; q += 0.07) EXPECT_NEAR(curve.full_rise_pa(q), 300 - 100 * q, 1e-10);
}

TEST(FanCurve, NeverTurnsWhereItsPointsFall) {
  std::mt19937 rng(3);
  for (int k = 0; k < 100; ++k) {
    const FanCurve curve = random_curve(rng);
    for (double q = -0.5; q < 6; q += 0.01) EXPECT_LT(curve.full_rise_pa(q + 0.01), curve.full_rise_pa(q));
  }
}

TEST(FanCurve, KeepsAHumpOfItsPoints) {
  const FanCurve curve = FanCurve::make(curve_points({{0, 280}, {0.5, 300}, {1, 250}, {2, 100}})).value();

  EXPECT_DOUBLE_EQ(curve.full_rise_pa(-0.5), 280);
  for (double q = 0; q < 2; q += 0.01) EXPECT_LE(curve.full_rise_pa(q), 300);
  EXPECT_NEAR(curve.rise_pa(demand_for(curve, 0.2, 100).value(), 0.2), 100, 1e-9);
}

TEST(FanCurve, FollowsTheAffinityLaws) {
  std::mt19937 rng(4);
  std::uniform_real_distribution<double> unit(0.05, 1.0);
  for (int k = 0; k < 500; ++k) {
    const FanCurve curve = random_curve(rng);
    const double q = 5 * unit(rng);
    const double s = unit(rng);

    EXPECT_NEAR(curve.rise_pa(s, s * q), s * s * curve.full_rise_pa(q), 1e-9);
  }
  EXPECT_EQ(usual_curve().rise_pa(0, 1), 0);
}

TEST(DemandFor, FindsTheDemandThatMadeAPoint) {
  std::mt19937 rng(5);
  std::uniform_real_distribution<double> unit(0.05, 1.0);
  for (int k = 0; k < 2000; ++k) {
    const FanCurve curve = random_curve(rng);
    const double s = unit(rng);
    const double q = 1.5 * unit(rng) * s * curve.free_flow_m3_s();

    const auto found = demand_for(curve, q, curve.rise_pa(s, q));

    ASSERT_TRUE(found.has_value());
    EXPECT_NEAR(*found, s, 1e-9);
  }
}

TEST(DemandFor, HasNoAnswerBeyondTheFanAndNoNeedOfItWithoutFlowAndRise) {
  const FanCurve curve = usual_curve();

  EXPECT_FALSE(demand_for(curve, 0, 300.1).has_value());
  EXPECT_FALSE(demand_for(curve, 1, 200, 0.8).has_value());
  EXPECT_FALSE(demand_for(curve, std::numeric_limits<double>::quiet_NaN(), 10).has_value());
  EXPECT_FALSE(demand_for(curve, 1, std::numeric_limits<double>::infinity()).has_value());
  EXPECT_EQ(demand_for(curve, 0, 0), 0.0);
  EXPECT_EQ(demand_for(curve, -1, -5), 0.0);
  EXPECT_EQ(demand_for(curve, 1, -1e4), 0.0);
  EXPECT_EQ(demand_for(curve, 20, -1e4), 0.0);
  EXPECT_NEAR(demand_for(curve, 0, 75).value(), 0.5, 1e-12);
}

TEST(FanCurve, RefusesPointsThatAreNoFanCurve) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const CurvePoints refused[] = {curve_points({{0, 300}}),
                                 curve_points({{0, 300}, {1, nan}}),
                                 curve_points({{nan, 300}, {1, 200}}),
                                 curve_points({{0, 300}, {1, -1}}),
                                 curve_points({{-1, 300}, {1, 200}}),
                                 curve_points({{0, 300}, {0, 200}}),
                                 curve_points({{0, 300}, {1, 200}, {2, 200}})};
  for (const CurvePoints& points : refused) {
    const auto result = FanCurve::make(points);
    ASSERT_FALSE(result.has_value());
    EXPECT_EQ(result.error().field, "curve_m3_s_pa");
  }
}

}  // namespace
}  // namespace leeward::control
