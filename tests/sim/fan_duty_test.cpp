#include "sim/fan_duty.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/physics/flow_element.hpp"
#include "sim/rng.hpp"

namespace leeward::sim {
namespace {

using control::Direction;

const Air kDutyReferenceAir{.indoor_kg_m3 = 1.2041, .outdoor_kg_m3 = 1.2041};

TEST(UnitCurve, IsThePhysicsCurveWhereTheUnitHasNoScatter) {
  const FanUnitSpec unit;
  const auto curve = control::FanCurve::make(unit.fan.curve);
  const UnitCurve mine(unit);
  for (double q = 0; q < 2.8; q += 0.037) {
    EXPECT_NEAR(mine.at(q).pa, curve->full_rise_pa(q), 1e-9) << q;
    EXPECT_NEAR(mine.at(q).pa_s_m3, (curve->full_rise_pa(q + 1e-6) - curve->full_rise_pa(q)) / 1e-6, 0.01)
        << q;
  }
  EXPECT_NEAR(mine.free_m3_s(), curve->free_flow_m3_s(), 1e-9);
}

TEST(UnitCurve, ScatterScalesShutOffAndFallApart) {
  FanUnitSpec unit;
  unit.head_factor = 1.1;
  unit.resistance_factor = 0.9;
  const UnitCurve mine(unit);
  EXPECT_NEAR(mine.at(0).pa, 330, 1e-9);
  EXPECT_NEAR(mine.at(2).pa, 330 - 0.9 * 180, 1e-9);  // a point of the curve, where it is exact
  EXPECT_NEAR(mine.at(mine.free_m3_s()).pa, 0, 1e-6);
}

TEST(UnitCurve, AFanWithoutACurveGetsTheDemoFans) {
  FanUnitSpec unit;
  unit.fan.curve.clear();
  EXPECT_NEAR(UnitCurve(unit).at(0).pa, 300, 1e-9);
}

TEST(FanDuty, TheDutyPointCarriesPressureAndLoss) {
  const FanUnitSpec unit;
  const auto curve = control::FanCurve::make(unit.fan.curve);
  FanDuty duty(unit, kDutyReferenceAir);
  for (int restriction = 0; restriction < 4; ++restriction) {
    duty.set(restriction, Direction::depressurize, 0);
    const auto& spec = unit.fan.restrictions[static_cast<std::size_t>(restriction)];
    for (const double speed : {0.3, 0.7, 1.0})
      for (const double against : {1.0, 10.0, 20.0}) {  // Pa
        const double flow = duty.solve(speed, against, 0.1).flow_m3_s;
        ASSERT_GT(flow, 0);
        EXPECT_NEAR(curve->rise_pa(speed, flow), against + control::lost_pressure_pa(spec, flow), 1e-4);
        EXPECT_NEAR(duty.signal_pa(flow), control::signal_pa(spec, flow),
                    1e-9 * control::signal_pa(spec, flow));
      }
  }
}

TEST(FanDuty, FollowsTheAffinityLaw) {
  FanDuty duty(FanUnitSpec{}, kDutyReferenceAir);
  for (int restriction = 0; restriction < 4; ++restriction) {
    duty.set(restriction, Direction::depressurize, 0);
    const double full = duty.solve(1, 80, 0.2).flow_m3_s;
    for (const double speed : {0.2, 0.5, 0.8}) {
      const double part = duty.solve(speed, 80 * speed * speed, 0.2).flow_m3_s;
      EXPECT_NEAR(part / (speed * full), 1, 1e-6) << speed;  // flow with speed, pressure with its square
    }
  }
}

TEST(FanDuty, PressuresGoWithTheDensityOfTheAirThatPasses) {
  const Air cold{.indoor_kg_m3 = 1.1, .outdoor_kg_m3 = 1.3};
  FanDuty reference(FanUnitSpec{}, kDutyReferenceAir);
  FanDuty duty(FanUnitSpec{}, cold);
  reference.set(1, Direction::depressurize, 0);
  const double flow = reference.solve(0.8, 40, 0.2).flow_m3_s;
  duty.set(1, Direction::depressurize, 0);
  EXPECT_NEAR(duty.solve(0.8, 40 * 1.1 / 1.2041, 0.2).flow_m3_s, flow, 1e-6);
  EXPECT_NEAR(duty.signal_pa(flow), reference.signal_pa(flow) * 1.1 / 1.2041, 1e-6);
  duty.set(1, Direction::pressurize, 0);
  EXPECT_NEAR(duty.solve(0.8, 40 * 1.3 / 1.2041, 0.2).flow_m3_s, flow, 1e-6);
  EXPECT_NEAR(duty.signal_pa(flow), reference.signal_pa(flow) * 1.3 / 1.2041, 1e-6);
}

TEST(FanDuty, MeterFactorsAreThoseOfThePressureDropMeter) {
  const Air air{.indoor_kg_m3 = 1.1621043,
                .outdoor_kg_m3 = 1.2396945};  // 21 / 3 degrees C at 98500 Pa, moist
  const FanUnitSpec unit;
  FanDuty duty(unit, air);
  const double true_flow = 0.4;
  duty.set(1, Direction::depressurize, 0);
  double read = control::flow_m3_s(unit.fan.restrictions[1], duty.signal_pa(true_flow));
  EXPECT_NEAR(true_flow / read, 1.0179085, 1e-7);  // root of calibration over indoor density, computed
  duty.set(1, Direction::pressurize, 0);
  read = control::flow_m3_s(unit.fan.restrictions[1], duty.signal_pa(true_flow));
  EXPECT_NEAR(true_flow / read, 0.9855393, 1e-7);
}

TEST(FanDuty, AStandingFanIsAHoleForBothWays) {
  const FanUnitSpec unit;
  FanDuty duty(unit, kDutyReferenceAir);
  duty.set(1, Direction::depressurize, 0);
  const double forth = duty.solve(0, -4, 0).flow_m3_s;
  const double back = duty.solve(0, 4, 0).flow_m3_s;
  EXPECT_GT(forth, 0);
  EXPECT_NEAR(back, -forth, 1e-12);
  EXPECT_LE(forth, unit.fan.restrictions[1].k_m3_s_pam * 2 * (1 + 1e-12));  // k * root of 4 Pa
  EXPECT_GT(forth, unit.fan.restrictions[1].k_m3_s_pam * 1.7);
  EXPECT_EQ(duty.signal_pa(back), 0);
  EXPECT_EQ(duty.solve(0, 0, 0).flow_m3_s, 0);
}

TEST(FanDuty, StandingAndBarelyTurningFansHardlyDiffer) {
  FanDuty duty(FanUnitSpec{}, kDutyReferenceAir);
  for (const double against : {-5.0, 5.0})
    EXPECT_NEAR(duty.solve(0.0099, against, 0).flow_m3_s, duty.solve(0.0101, against, 0).flow_m3_s, 2e-3);
}

TEST(FanDuty, ABlockedOpeningPassesLessForTheSamePressure) {
  FanDuty duty(FanUnitSpec{}, kDutyReferenceAir);
  duty.set(0, Direction::depressurize, 0);
  const double open = duty.solve(0.8, 30, 0.5).flow_m3_s;
  duty.set(0, Direction::depressurize, 0.9);
  const double blocked = duty.solve(0.8, 30, 0.5).flow_m3_s;
  EXPECT_LT(blocked, 0.3 * open);
  EXPECT_GT(blocked, 0);
}

TEST(FanDuty, FindsABalancedPointFromAnyStart) {
  Rng rng(21);
  FanUnitSpec unit;
  unit.fan.curve.clear();  // a hump, where more than one flow may fit
  for (const auto& p : {control::CurvePoint{0, 200}, {0.4, 260}, {1, 240}, {2, 60}})
    unit.fan.curve.push_back(p);
  unit.fan.restrictions[2].m = 0.55;
  FanDuty duty(unit, kDutyReferenceAir);
  for (int i = 0; i < 20000; ++i) {
    duty.set(i % 4, i % 3 == 0 ? Direction::pressurize : Direction::depressurize, i % 7 == 0 ? 0.9 : 0);
    const double speed = rng.uniform();
    const double against = rng.uniform(-400, 400);
    const DutyPoint found = duty.solve(speed, against, rng.uniform(-3, 3));
    ASSERT_TRUE(std::isfinite(found.flow_m3_s));
    ASSERT_GT(found.outflow.kg_s_pa, 0);
    ASSERT_LT(std::abs(found.flow_m3_s), 15);
    const DutyPoint again = duty.solve(speed, against, found.flow_m3_s);
    ASSERT_NEAR(again.flow_m3_s, found.flow_m3_s, 1e-3) << speed << " " << against;
  }
}

}  // namespace
}  // namespace leeward::sim
