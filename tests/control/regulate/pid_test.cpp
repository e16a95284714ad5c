#include "control/regulate/pid.hpp"

#include <gtest/gtest.h>

#include <array>
#include <limits>
#include <random>

#include "tests/control/regulate/pid_loop.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

constexpr double kInf = std::numeric_limits<double>::infinity();
constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

PidTuning pid_tuning(double kc, double ti, double td = 0) {
  PidTuning t;
  t.kc = kc;
  t.ti_s = ti;
  t.td_s = td;
  t.derivative_n = 10;
  t.out_min = -1000;
  t.out_max = 1000;
  t.max_gap_s = 5;
  return t;
}

// Derivative ---------------------------------------------------------------------------------------

TEST(PidDerivative, D1IsNoneAtTheFirstSampleWhateverItIs) {
  PidLoop loop(pid_tuning(1, kInf, 1));
  loop.step(0, 5);
  EXPECT_EQ(loop.out.why.d, 0);
}

TEST(PidDerivative, D2IgnoresASetpointStepBitForBit) {
  PidLoop a(pid_tuning(1, 4, 1));
  for (const double y : {1.0, 1.2, 1.1}) a.step(1, y);
  PidLoop b = a;
  a.step(1, 1.3);
  b.step(40, 1.3);
  EXPECT_EQ(a.out.why.d, b.out.why.d);
}

TEST(PidDerivative, D3RestartsAfterAGap) {
  PidLoop loop(pid_tuning(1, 4, 1));
  loop.step(0, 1);
  loop.step(0, 2, 20.0);  // a gap: held
  EXPECT_TRUE(loop.out.why.held);
  loop.step(0, 9);
  EXPECT_EQ(loop.out.why.d, 0);
}

TEST(PidDerivative, D4OfARampIsItsSlope) {
  PidLoop even(pid_tuning(1, kInf, 1));
  PidLoop uneven(pid_tuning(1, kInf, 1));
  double t_even = 0, t_uneven = 0;
  for (int k = 0; k < 400; ++k) {
    t_even += 0.1;
    even.step(0, 0.5 * t_even, 0.1);
    const double h = k % 2 == 0 ? 0.02 : 0.18;
    t_uneven += h;
    uneven.step(0, 0.5 * t_uneven, h);
  }
  EXPECT_NEAR(even.out.why.d, -0.5, 1e-9);
  EXPECT_NEAR(uneven.out.why.d, -0.5, 1e-9);
}

TEST(PidDerivative, D4FirstOrderCheck) {
  PidLoop loop(pid_tuning(1, kInf, 1));
  loop.step(0, 0);
  for (const double expected : {-.5, -.75, -.875, -.9375}) {
    loop.step(0, loop.state.last_y + 0.1);
    EXPECT_NEAR(loop.out.why.d, expected, 1e-12);
  }
}

TEST(PidDerivative, D5IsExactlyNoneWithoutTdAndFiniteWithoutAFilter) {
  PidTuning none = pid_tuning(1, 4, 0);
  none.derivative_n = 0;
  PidLoop a(none);
  a.step(0, 0);
  a.step(0, 5);
  EXPECT_EQ(a.out.why.d, 0);

  PidTuning unfiltered = pid_tuning(1, 4, 1);
  unfiltered.derivative_n = kInf;
  PidLoop b(unfiltered);
  b.step(0, 0);
  b.step(0, 0.1);
  EXPECT_NEAR(b.out.why.d, -1.0, 1e-12);
}

// Integral and anti-windup -------------------------------------------------------------------------

TEST(PidIntegral, I1IsTheSameForAnyCutOfTheTime) {
  const auto after_one_second = [](int steps, double h1, double h2) {
    PidLoop loop(pid_tuning(1, 2));
    for (int k = 0; k < steps; ++k) loop.step(1, 0, k % 2 == 0 ? h1 : h2);
    return loop.state.integral;
  };
  EXPECT_NEAR(after_one_second(10, .1, .1), 0.5, 1e-9);
  EXPECT_NEAR(after_one_second(20, .05, .05), 0.5, 1e-9);
  EXPECT_NEAR(after_one_second(10, .02, .18), 0.5, 1e-9);
}

TEST(PidIntegral, I5StopsBySideOfTheLimitAndNotBySignOfTheError) {
  for (const double sign : {1.0, -1.0}) {
    PidTuning t = pid_tuning(0.5 * sign, 4);
    t.tt_s = 4;
    t.out_min = 0.2;
    t.out_max = 1;
    PidLoop loop(t);
    for (int k = 0; k < 5000; ++k) loop.step(0, sign * 0.4);
    EXPECT_EQ(loop.out.u, 0.2);
    EXPECT_NEAR(loop.state.integral, 0.2, 1e-9);  // u_min - P + K e Tt/Ti, bounded: 0.2 + 0.2 - 0.2
  }
  PidTuning negative = pid_tuning(0.5, 4);
  negative.out_min = -2;
  negative.out_max = -1;
  PidLoop loop(negative);
  for (int k = 0; k < 5000; ++k) loop.step(1, 0);
  EXPECT_EQ(loop.out.u, -1);
  EXPECT_NEAR(loop.state.integral, -1.0, 1e-9);
}

TEST(PidIntegral, I6LimitsOfALaterStageCount) {
  PidTuning t = pid_tuning(0.5, 4);
  t.out_min = 0;
  t.out_max = 1;
  PidLoop known(t);
  PidLoop later(pid_tuning(0.5, 4));
  known.tuning.out_max = 0.3;
  known.tuning.out_min = -1000;
  for (int k = 0; k < 300; ++k) {
    known.step(1, 0.2);
    const double v = later.step(1, 0.2);
    later.state = pid_applied(later.state, std::min(v, 0.3));
    ASSERT_NEAR(known.state.integral, later.state.integral, 1e-12) << k;
  }
  EXPECT_LT(later.state.integral, 1);
}

TEST(PidIntegral, I7WithoutIntegralActionNothingIsNan) {
  for (const double kc : {1.0, 0.0}) {
    PidTuning t = pid_tuning(kc, kInf);
    t.out_min = 0;
    t.out_max = 1;
    PidLoop loop(t);
    for (int k = 0; k < 100; ++k) loop.step(10, 0);
    EXPECT_TRUE(std::isfinite(loop.out.u));
    EXPECT_EQ(loop.state.integral, 0);
  }
  PidTuning integral_only = pid_tuning(1e-12, 1e-12);
  PidLoop loop(integral_only);
  for (int k = 0; k < 10; ++k) EXPECT_TRUE(std::isfinite(loop.step(1, 0)));
}

TEST(PidIntegral, I8AStepLongerThanTheTrackingTimeDoesNotBlowUp) {
  PidTuning t = pid_tuning(1, 1);
  t.tt_s = 0.05;
  t.out_min = 0;
  t.out_max = 1;
  PidLoop loop(t);
  for (int k = 0; k < 50; ++k) loop.step(3, 0, 0.2);
  EXPECT_NEAR(loop.state.integral, -1.4, 1e-12);
}

TEST(PidIntegral, I9TracksOnInsideTheDeadband) {
  PidTuning t = pid_tuning(1, 4);
  t.deadband = 0.5;
  t.out_min = 0;
  t.out_max = 1;
  PidLoop loop(t);
  loop.state.integral = 3;
  loop.step(0.2, 0);
  EXPECT_LT(loop.state.integral, 3);
  loop.state.integral = 0.5;
  loop.step(0.2, 0);
  EXPECT_EQ(loop.state.integral, 0.5);  // the error itself is inside: nothing is added
}

TEST(PidIntegral, I10LimitsOfTheOutputAreNotLimitsOfTheIntegral) {
  PidTuning t = pid_tuning(1, 4);
  t.out_min = 0;
  t.out_max = 1;
  PidLoop loop(t);
  loop.state.integral = -2;
  EXPECT_NEAR(loop.step(2.5, 0), 0.5, 1e-12);  // I below out_min is legitimate
}

// Bumpless -----------------------------------------------------------------------------------------

TEST(PidBumpless, B1StartsFromWhatIsApplied) {
  PidTuning t = pid_tuning(2, 4);
  PidLoop loop(t);
  loop.state = pid_start(t, {0.5, 0.3, 0, 0}, 0.7);
  loop.state.has_stamp = true;
  EXPECT_NEAR(loop.step(0.5, 0.3), 0.7, 1e-12);
  EXPECT_NEAR(loop.step(0.5, 0.3), 0.71, 1e-12);  // K h/Ti e = 2*0.1/4*0.2
}

TEST(PidBumpless, B2IdleTimeIsNotOneHugeStep) {
  PidTuning t = pid_tuning(2, 4);
  PidLoop loop(t);
  loop.step(0.5, 0.3);
  const double before = loop.state.integral;
  loop.step(0.5, 0.3, 3600);
  EXPECT_TRUE(loop.out.why.held);
  EXPECT_EQ(loop.state.integral, before);
}

TEST(PidBumpless, B3AChangeOfGainMovesNothingEitherWay) {
  for (const double to : {5.0, 0.2}) {
    PidLoop loop(pid_tuning(2, 4));
    for (int k = 0; k < 20; ++k) loop.step(1, 0.4);
    const PidInput now{1, 0.4, 0, 0};
    const double before = loop.tuning.kc * 0.6 + loop.state.integral;
    PidTuning next = loop.tuning;
    next.kc = to;
    loop.state = pid_retune(loop.state, loop.tuning, next, now);
    loop.tuning = next;
    EXPECT_NEAR(loop.step(1, 0.4), before, 1e-12);
  }
}

TEST(PidBumpless, B4AChangeOfIntegralTimeMovesNothingNow) {
  PidLoop loop(pid_tuning(2, 4));
  for (int k = 0; k < 20; ++k) loop.step(1, 0.4);
  const double before = loop.tuning.kc * 0.6 + loop.state.integral;
  loop.tuning.ti_s = kInf;
  EXPECT_NEAR(loop.step(1, 0.4), before, 1e-12);
  EXPECT_NEAR(loop.step(1, 0.4), before, 1e-12);  // the held output stays
}

// Time ---------------------------------------------------------------------------------------------

TEST(PidTime, Z1Z6TheSameSampleAgainChangesNothing) {
  PidLoop loop(pid_tuning(2, 4, 1));
  loop.step(1, 0.2);
  const PidState before = loop.state;
  const double u = loop.out.u;
  EXPECT_EQ(loop.step(1, 0.9, 0.0), u);
  EXPECT_TRUE(loop.out.why.held);
  EXPECT_EQ(loop.state.integral, before.integral);
  EXPECT_EQ(loop.state.derivative, before.derivative);
  EXPECT_EQ(loop.state.last_y, before.last_y);
}

TEST(PidTime, Z2TimeThatGoesBackOrJumpsIsHeldAndFlagged) {
  PidLoop loop(pid_tuning(2, 4));
  loop.step(1, 0.2);
  const double u = loop.out.u;
  EXPECT_EQ(loop.step(1, 0.2, -0.05), u);
  EXPECT_TRUE(loop.out.why.held);
  EXPECT_EQ(loop.step(1, 0.2, 60), u);
  EXPECT_TRUE(loop.out.why.held);
}

TEST(PidTime, Z3AMicrosecondStepBoundsTheDerivative) {
  PidLoop loop(pid_tuning(1, 4, 1));
  loop.step(0, 0);
  loop.step(0, 0.3, 1e-6);
  EXPECT_LE(std::abs(loop.out.why.d), 1 * 10 * 0.3 + 1e-12);  // K N |dy|
}

TEST(PidTime, Z7ACallATouchEarlyIsNotSkipped) {
  PidLoop loop(pid_tuning(2, 4));
  loop.step(1, 0.2, 0.1);
  loop.step(1, 0.2, 0.0999);
  EXPECT_FALSE(loop.out.why.held);
}

// Bad values ---------------------------------------------------------------------------------------

TEST(PidValues, N1WhatIsNotANumberHoldsAndLeavesNoTrace) {
  for (const double bad : {kNan, kInf, -kInf}) {
    PidLoop with(pid_tuning(2, 4, 0.5));
    PidLoop without(pid_tuning(2, 4, 0.5));
    with.step(1, 0.2);
    without.step(1, 0.2);
    EXPECT_EQ(with.step(1, bad), without.out.u);
    EXPECT_EQ(with.step(bad, 0.2), without.out.u);
    EXPECT_TRUE(with.out.why.held);
    without.time_s = with.time_s;  // as if the bad samples had been missing
    EXPECT_EQ(with.step(1, 0.3), without.step(1, 0.3));
    EXPECT_EQ(with.state, without.state);
  }
}

TEST(PidValues, N3N4StaysBoundedOverALongBlackOut) {
  PidTuning t = pid_tuning(2, 4);
  t.out_min = 0;
  t.out_max = 1;
  PidLoop loop(t);
  for (int k = 0; k < 1'000'000; ++k) loop.step(1, 0.0);
  EXPECT_LT(loop.state.integral, 10);
  loop.step(0.0, 0.0);
  loop.step(0.0, 0.0);
  EXPECT_LT(loop.out.u, 1);
}

TEST(PidValues, S1IsAlwaysWithinItsLimits) {
  std::mt19937_64 random(3);
  PidTuning t = pid_tuning(3, 0.7, 0.4);
  t.out_min = 0.05;
  t.out_max = 0.9;
  PidLoop loop(t);
  loop.state = pid_start(t, {0, 0, 0, 0}, 0.05);
  const std::array odd{kNan, kInf, -kInf, 1e300, -1e300, 0.0};
  const auto value = [&] { return random() % 5 == 0 ? odd[random() % odd.size()] : static_cast<double>(random() % 2000) / 10 - 100; };
  for (int k = 0; k < 200'000; ++k) {
    const double u = loop.step(value(), value(), static_cast<double>(random() % 3000) / 1000 - 0.5, value());
    ASSERT_GE(u, 0.05);
    ASSERT_LE(u, 0.9);
  }
}

TEST(PidValues, S1LimitsThatCrossAreRefusedByName) {
  PidTuning t = pid_tuning(1, 4);
  t.out_min = 1;
  t.out_max = 1;
  EXPECT_EQ(checked(t).error().field, "out_min");
}

TEST(PidValues, S3AQuantisedActuatorHuntsByNoMoreThanOneStep) {
  PidTuning t = pid_tuning(2.5 / 100, 10);
  t.out_min = 0;
  t.out_max = 1;
  PidLoop loop(t);
  LagPlant plant(100, 10, 0.5, 0.1);
  double low = 1e9, high = -1e9;
  for (int k = 0; k < 20000; ++k) {
    const double u = std::round(loop.step(50, plant.y()) * 255) / 255;
    loop.state = pid_applied(loop.state, u);
    plant.step(u);
    if (k > 10000) {
      low = std::min(low, plant.y());
      high = std::max(high, plant.y());
    }
  }
  EXPECT_LE(high - low, 100.0 / 255);
}

// Setpoint weight, gain ----------------------------------------------------------------------------

TEST(PidWeight, W1WithoutWeightASetpointStepMovesOnlyTheIntegral) {
  PidTuning t = pid_tuning(2, 4);
  t.setpoint_weight = 0;
  PidLoop loop(t);
  loop.step(0, 0);
  EXPECT_EQ(loop.step(1, 0), 0);
  EXPECT_NEAR(loop.step(1, 0), 2 * 0.1 / 4, 1e-12);
}

TEST(PidWeight, W1TheSteadyStateIsTheSameForEveryWeight) {
  for (const double b : {0.0, 0.3, 1.0}) {
    PidTuning t = pid_tuning(2, 4);
    t.setpoint_weight = b;
    PidLoop loop(t);
    LagPlant plant(1, 3, 0, 0.1);
    for (int k = 0; k < 3000; ++k) plant.step(loop.step(0.5, plant.y()));
    EXPECT_NEAR(plant.y(), 0.5, 1e-9);
  }
}

TEST(PidWeight, W2ASettingAtItsDefaultSwitchesNothingOff) {
  PidTuning plain = pid_tuning(2, 4, 0.5);
  PidTuning weighted = plain;
  weighted.setpoint_weight = 0.4;
  PidLoop a(plain), b(weighted);
  a.step(1, 0);
  b.step(1, 0);
  EXPECT_NE(a.out.why.p, b.out.why.p);
  a.step(1, 0.3);
  b.step(1, 0.3);
  EXPECT_NE(a.out.why.d, 0);
  EXPECT_EQ(a.out.why.d, b.out.why.d);
}

TEST(PidWeight, W3WhatMakesNoSenseIsRefusedByName) {
  const auto field_of = [](PidTuning t) { return checked(t).error().field; };
  PidTuning t = pid_tuning(1, 4);
  EXPECT_TRUE(checked(t).has_value());
  t.setpoint_weight = 1.1;
  EXPECT_EQ(field_of(t), "setpoint_weight");
  t = pid_tuning(kNan, 4);
  EXPECT_EQ(field_of(t), "kc");
  t = pid_tuning(1, 0);
  EXPECT_EQ(field_of(t), "ti_s");
  t = pid_tuning(1, 4, -1);
  EXPECT_EQ(field_of(t), "td_s");
  t = pid_tuning(1, 4, 1);
  t.derivative_n = 0;
  EXPECT_EQ(field_of(t), "derivative_n");
}

TEST(PidStep, O1AllocatesNothing) {
  PidLoop loop(pid_tuning(2, 4, 0.5));
  const std::size_t before = test::allocations();
  for (int k = 0; k < 100; ++k) loop.step(1, 0.01 * k);
  EXPECT_EQ(test::allocations(), before);
}

TEST(PidStep, O2GivesTheSameBitsInAnyOrderOfOtherWork) {
  PidLoop a(pid_tuning(2, 4, 0.5)), b(pid_tuning(2, 4, 0.5)), other(pid_tuning(7, 1));
  for (int k = 0; k < 50; ++k) {
    a.step(1, 0.013 * k);
    other.step(3, k);
  }
  for (int k = 0; k < 50; ++k) b.step(1, 0.013 * k);
  EXPECT_EQ(a.state, b.state);
}

}  // namespace
}  // namespace leeward::control
