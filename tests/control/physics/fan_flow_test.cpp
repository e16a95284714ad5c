#include "control/physics/fan_flow.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

const FanCurve& flow_curve() {
  static const FanCurve curve = [] {
    FixedVector<CurvePoint, kMaxCurvePoints> points;
    for (const CurvePoint& p : {CurvePoint{0, 300}, {1, 255}, {2, 120}, {2.5, 0}}) points.push_back(p);
    return *FanCurve::make(points);
  }();
  return curve;
}

constexpr std::array kFlowPlates{
    RestrictionSpec{.name = "open", .k_m3_s_pam = 0.204, .m = 0.5, .loss_frac = 0.1},
    RestrictionSpec{.name = "small", .k_m3_s_pam = 0.03, .m = 0.52, .loss_frac = 0.9}};

TEST(FanFlow, CarriesWhatItWorksAgainst) {
  for (const RestrictionSpec& plate : kFlowPlates)
    for (double speed = 0.05; speed <= 1.2; speed += 0.11)
      for (double against = -20; against < 0.9 * 300 * speed * speed; against += 7) {
        const FanFlow at = fan_flow(flow_curve(), plate, speed, against, 0.3);
        if (at.flow_m3_s <= 0 || at.flow_m3_s > speed * flow_curve().free_flow_m3_s()) continue;
        const double left = flow_curve().rise_pa(speed, at.flow_m3_s) - lost_pressure_pa(plate, at.flow_m3_s);
        EXPECT_NEAR(left, against, 0.01) << "speed " << speed << " plate " << plate.k_m3_s_pam;
      }
}

TEST(FanFlow, HasTheSlopesOfItsOwnDifferences) {
  constexpr double part = 1e-4;
  for (const RestrictionSpec& plate : kFlowPlates)
    for (const double against : {3.0, 20.0, 50.0})
      for (const double speed : {0.55, 0.7, 0.9}) {
        const auto flow = [&](double s, double p) {
          double q = 0.3;  // looked for again and again: the end of the search has to be out of the way
          for (int i = 0; i < 5; ++i) q = fan_flow(flow_curve(), plate, s, p, q).flow_m3_s;
          return q;
        };
        const FanFlow at = fan_flow(flow_curve(), plate, speed, against, flow(speed, against));
        const double by_speed = (flow(speed + part, against) - flow(speed - part, against)) / (2 * part);
        const double by_pa = (flow(speed, against + part) - flow(speed, against - part)) / (2 * part);
        EXPECT_NEAR(at.per_speed, by_speed, 2e-3 * by_speed);
        EXPECT_NEAR(at.per_pa, by_pa, 2e-3 * std::abs(by_pa));
      }
}

TEST(FanFlow, OfAWheelThatStandsGoesWithThePressure) {
  for (const RestrictionSpec& plate : kFlowPlates) {
    const double out = fan_flow(flow_curve(), plate, 0, -4, 0).flow_m3_s;
    EXPECT_GT(out, 0);
    EXPECT_EQ(fan_flow(flow_curve(), plate, 0, 4, 0).flow_m3_s, -out);
    EXPECT_NEAR(fan_flow(flow_curve(), plate, 0, -16, 0).flow_m3_s, 2 * out, 1e-12);  // a square law
    EXPECT_EQ(fan_flow(flow_curve(), plate, 0, 0, 0).flow_m3_s, 0);
    EXPECT_LT(fan_flow(flow_curve(), plate, 0, 0, 0).per_pa, 0);
  }
}

TEST(FanFlow, IsContinuousWhereTheWheelBeginsToTurn) {
  for (const RestrictionSpec& plate : kFlowPlates)
    for (const double against : {-10.0, -1.0, 1.0, 10.0}) {
      const double stands = fan_flow(flow_curve(), plate, 0, against, 0).flow_m3_s;
      const double turns = fan_flow(flow_curve(), plate, 0.006, against, stands).flow_m3_s;
      EXPECT_NEAR(turns, stands, 0.02 + 0.1 * std::abs(stands)) << against;
    }
}

TEST(FanCurve, SlopeIsThatOfTheRise) {
  constexpr double part = 1e-6;
  for (double q = -0.3; q < 3; q += 0.0517) {
    const double by_rise =
        (flow_curve().full_rise_pa(q + part) - flow_curve().full_rise_pa(q - part)) / (2 * part);
    EXPECT_NEAR(flow_curve().full_rise(q).pa_s_m3, by_rise, 1e-4 * std::max(1.0, std::abs(by_rise))) << q;
  }
}

}  // namespace
}  // namespace leeward::control
