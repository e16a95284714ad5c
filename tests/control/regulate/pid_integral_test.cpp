// The integral of the PID and what keeps it from winding up.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <limits>

#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();

struct IntegralRun {
  double overshoot_frac = 0;
  double rail_s = 0;  ///< time at the upper limit after the set-point came down
};

/// Set-point r over 1/(10 s + 1); after `unreachable_s` at 1.5 it comes down to 0.5.
IntegralRun run_saturating(const PidTuning& tuning, double r, double unreachable_s) {
  pid_rig::Loop loop{tuning};
  pid_rig::LagPlant plant(1, 10, 0, 0.1);
  IntegralRun run;
  bool on_rail = unreachable_s > 0;
  for (double t = 0; t < 400; t += 0.1) {
    const bool waiting = t < unreachable_s;
    const double u = loop.step(waiting ? 1.5 : r, plant.y(), 0.1).u;
    on_rail = on_rail && u >= 1;
    if (!waiting && on_rail) run.rail_s += 0.1;
    plant.step(u);
    run.overshoot_frac = std::max(run.overshoot_frac, plant.y() / r - 1);
  }
  return run;
}

TEST(PidIntegral, OfTheErrorIsTheSameForAnyInterval) {  // I1: K/Ti * 1 s * 1 = 0.5
  const PidTuning tuning{.kc = 1, .ti_s = 2, .out_min = -100, .out_max = 100};
  pid_rig::Loop coarse{tuning};
  pid_rig::Loop fine{tuning};
  pid_rig::Loop uneven{tuning};

  for (int k = 0; k < 10; ++k) (void)coarse.step(1, 0, 0.1);
  for (int k = 0; k < 20; ++k) (void)fine.step(1, 0, 0.05);
  for (int k = 0; k < 10; ++k) (void)uneven.step(1, 0, k % 2 == 0 ? 0.02 : 0.18);

  EXPECT_NEAR(coarse.state.integral, 0.5, 1e-12);
  EXPECT_NEAR(fine.state.integral, 0.5, 1e-12);
  EXPECT_NEAR(uneven.state.integral, 0.5, 1e-12);
}

TEST(PidIntegral, OfTheErrorAfterALoadStepIsMinusTiOverK) {  // I2, whatever plant and weight
  for (const double b : {0.0, 1.0})
    for (const double tau : {5.0, 10.0}) {
      pid_rig::Loop loop{{.kc = 2.5, .ti_s = 10, .setpoint_weight = b, .out_min = -100, .out_max = 100}};
      pid_rig::LagPlant plant(1, tau, 1, 0.1);
      double sum = 0;
      for (int k = 0; k < 6000; ++k) {
        const double y = plant.y();
        sum += (0 - y) * 0.1;
        plant.step(loop.step(0, y, 0.1).u + 1);
      }
      EXPECT_NEAR(sum, -4.0, 1e-9) << b << ' ' << tau;
    }
}

TEST(PidIntegral, OvershootsLittleWhenTheStepSaturates) {  // I3: 2.4 %
  const IntegralRun run = run_saturating({.kc = 5, .ti_s = 5}, 0.8, 0);

  EXPECT_LT(run.overshoot_frac, 0.03);
  EXPECT_NEAR(run.overshoot_frac, 0.024, 0.0005);
}

TEST(PidIntegral, WindsUpWhenTrackingIsSwitchedOff) {  // I3, I10: the switch works; 22.7 %
  const IntegralRun run = run_saturating({.kc = 5, .ti_s = 5, .tt_s = kInfinite}, 0.8, 0);

  EXPECT_NEAR(run.overshoot_frac, 0.227, 0.0005);
}

TEST(PidIntegral, LeavesTheRailAtOnceAfterAnUnreachableSetpoint) {  // I4: without tracking 163 s
  EXPECT_LE(run_saturating({.kc = 5, .ti_s = 5}, 0.5, 150).rail_s, 0.1);
  EXPECT_GT(run_saturating({.kc = 5, .ti_s = 5, .tt_s = kInfinite}, 0.5, 150).rail_s, 100);
}

struct Rail {
  double kc, error, out_min, out_max, stop;
};

TEST(PidIntegral, StopsBySideOfTheLimitNotByItsSign) {           // I5
  constexpr std::array<Rail, 5> rails = {{{2, -1, 0.2, 1, 0.2},  // least speed above 0
                                          {2, 1, 0.2, 1, 1},     //
                                          {-2, 1, 0.2, 1, 0.2},  // reverse acting
                                          {2, -1, -3, -2, -3},   // both limits negative
                                          {2, 1, -3, -2, -2}}};
  for (const Rail& rail : rails) {
    pid_rig::Loop loop{{.kc = rail.kc, .ti_s = 4, .out_min = rail.out_min, .out_max = rail.out_max}};
    loop.state.integral = rail.stop;
    double low = 1e9;
    double high = -1e9;
    for (int k = 0; k < 2000; ++k) {
      EXPECT_EQ(loop.step(rail.error, 0, 0.1).u, rail.stop);
      low = std::min(low, loop.state.integral);
      high = std::max(high, loop.state.integral);
    }
    // I = u_sat - P + K e Tt/Ti = u_sat with Tt = Ti and b = 1: it may not sink or rise from there.
    EXPECT_NEAR(low, rail.stop, 1e-9);
    EXPECT_NEAR(high, rail.stop, 1e-9);
    EXPECT_NE(loop.step(-0.1 * rail.error, 0, 0.1).u, rail.stop) << "stuck at the rail";
  }
}

/// A chain behind the PID that allows less: what it lets through is told back, or not.
double integral_behind(double chain_max, bool told) {
  pid_rig::Loop loop{{.kc = 1, .ti_s = 2}};
  for (int k = 0; k < 600; ++k) {
    const double u = loop.step(0.3, 0, 0.1).u;
    if (told) loop.state = pid_applied(loop.state, std::min(u, chain_max));
  }
  return loop.state.integral;
}

TEST(PidIntegral, CountsTheLimitsOfLaterStages) {  // I6: I = applied - P + K e Tt/Ti
  EXPECT_NEAR(integral_behind(0.4, true), 0.4 - 0.3 + 0.3, 1e-9);
  EXPECT_NEAR(integral_behind(0.4, false), 1.0 - 0.3 + 0.3, 1e-9);
}

TEST(PidIntegral, SeesOneLimitWhetherItsOwnOrALaterOne) {  // I6: forgets neither feed-forward nor D
  const PidTuning inner{.kc = 2, .ti_s = 4, .td_s = 0.5, .out_max = 0.3};
  PidTuning outer = inner;
  outer.out_max = 1;
  pid_rig::Loop own{inner};
  pid_rig::Loop later{outer};

  for (int k = 0; k < 200; ++k) {
    const double y = 0.1 * std::sin(0.3 * k);
    const PidOutput a = own.step(0.4, y, 0.1, 0.1);
    const PidOutput b = later.step(0.4, y, 0.1, 0.1);
    later.state = pid_applied(later.state, std::clamp(b.u, 0.0, 0.3));
    EXPECT_NEAR(a.why.unlimited, b.why.unlimited, 1e-12) << k;
  }
}

TEST(PidIntegral, IsOnlyToldOnceAStep) {  // I6
  pid_rig::Loop loop{{.kc = 1, .ti_s = 2}};
  (void)loop.step(0.3, 0, 0.1);

  const PidState once = pid_applied(loop.state, 0.1);

  EXPECT_EQ(pid_applied(once, 0.1), once);
  EXPECT_EQ(pid_applied(loop.state, std::nan("")), loop.state);
}

TEST(PidIntegral, IsFiniteWithoutIntegralAction) {  // I7: Ti infinite, K = 0, nearly I only
  constexpr std::array<PidTuning, 4> tunings = {
      {{.kc = 3}, {.kc = 3, .td_s = 1}, {.kc = 0, .ti_s = 1}, {.kc = 1e-12, .ti_s = 1e-12}}};
  for (const PidTuning& t : tunings) {
    pid_rig::Loop loop{t};
    for (int k = 0; k < 100; ++k) {
      const PidOutput out = loop.step(2, -1, 0.1);
      EXPECT_TRUE(std::isfinite(out.u) && std::isfinite(out.next.integral));
      EXPECT_FALSE(out.why.held);
    }
  }
}

TEST(PidIntegral, DoesNotBlowUpWithStepsLongerThanTheTrackingTime) {  // I8: -1.4 and steady
  pid_rig::Loop loop{{.kc = 1, .ti_s = 1, .tt_s = 0.05}};

  for (int k = 0; k < 10; ++k) {
    (void)loop.step(3, 0, 0.2);
    EXPECT_NEAR(loop.state.integral, -1.4, 1e-12) << k;
  }
}

TEST(PidIntegral, GoesOnTrackingInsideTheDeadband) {  // I9
  pid_rig::Loop loop{{.kc = 1, .ti_s = 2, .deadband = 0.5}};
  loop.state.integral = 4;

  for (int k = 0; k < 600; ++k) (void)loop.step(0.3, 0, 0.1);

  EXPECT_NEAR(loop.state.integral, 1 - 0.3, 1e-9);  // only the error part pauses: u_sat - P
}

TEST(PidIntegral, PausesForTheErrorInsideTheDeadband) {  // I9
  pid_rig::Loop loop{{.kc = 1, .ti_s = 2, .deadband = 0.5}};
  loop.state.integral = 0.2;

  for (int k = 0; k < 100; ++k) (void)loop.step(0.3, 0, 0.1);

  EXPECT_EQ(loop.state.integral, 0.2);
}

TEST(PidIntegral, HasBoundsApartFromThoseOfTheOutput) {  // I10
  pid_rig::Loop loop{
      {.kc = 1, .ti_s = 1, .out_min = -2, .out_max = 2, .integral_min = -0.1, .integral_max = 0.25}};

  double u = 0;
  for (int k = 0; k < 100; ++k) u = loop.step(0.3, 0, 0.1).u;
  EXPECT_EQ(loop.state.integral, 0.25);
  EXPECT_NEAR(u, 0.55, 1e-12);

  for (int k = 0; k < 100; ++k) u = loop.step(-0.3, 0, 0.1).u;
  EXPECT_EQ(loop.state.integral, -0.1);
  EXPECT_NEAR(u, -0.4, 1e-12);
}

TEST(PidIntegral, MayBeBeyondTheLimitsOfTheOutput) {  // I10
  pid_rig::Loop loop{{.kc = 1, .ti_s = 4}};
  loop.state.integral = -2;

  EXPECT_NEAR(loop.step(2.5, 0, 0.1).u, 0.5, 1e-12);
}

}  // namespace
}  // namespace leeward::control
