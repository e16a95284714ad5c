// Time and bad readings: what a step does when either is not as it should be.

#include <gtest/gtest.h>

#include <array>
#include <limits>

#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

constexpr PidTuning kTimeTuning{.kc = 0.02, .ti_s = 4, .td_s = 0.3};
constexpr double kTimeNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kTimeInf = std::numeric_limits<double>::infinity();

/// A loop in the middle of its work, with something in every term.
pid_rig::Loop working_loop() {
  pid_rig::Loop loop{kTimeTuning};
  for (int k = 0; k < 20; ++k) {
    const PidOutput out = loop.step(50, 30 + k, 0.1, 0.1);
    loop.state = pid_applied(loop.state, out.u);
  }
  return loop;
}

TEST(PidTime, WithoutAnIntervalChangesNothing) {  // Z1
  pid_rig::Loop loop = working_loop();
  const PidState before = loop.state;

  const PidOutput out = loop.step(50, 20, 0);

  EXPECT_EQ(out.u, before.output);
  EXPECT_EQ(out.next, before);
  EXPECT_TRUE(out.why.held);
}

TEST(PidTime, GoingBackIsHeldAndFlagged) {  // Z2
  pid_rig::Loop loop = working_loop();
  const PidState before = loop.state;

  const PidOutput out = loop.step(50, 20, -0.05);

  EXPECT_EQ(out.u, before.output);
  EXPECT_EQ(out.next, before);
  EXPECT_TRUE(out.why.held);
}

TEST(PidTime, TooLongAStepIsHeldAndFlagged) {  // Z2
  pid_rig::Loop loop = working_loop();
  const PidState before = loop.state;

  const PidOutput out = loop.step(50, 20, 1.5);

  EXPECT_EQ(out.u, before.output);
  EXPECT_EQ(out.next.integral, before.integral);
  EXPECT_TRUE(out.why.held);
  EXPECT_FALSE(loop.step(50, 49, 0.1).why.held);
}

TEST(PidTime, StartsAnewWhenTheClockWasSetFarBack) {  // Z2: never held for ever
  pid_rig::Loop loop = working_loop();

  EXPECT_TRUE(loop.step(50, 48, -3600).why.held);

  EXPECT_FALSE(loop.step(50, 48, 0.1).why.held);
}

TEST(PidTime, TakesStampsFromOneEndOfTheClockToTheOther) {  // Z2
  pid_rig::Loop loop = working_loop();
  for (const std::int64_t stamp :
       {std::numeric_limits<std::int64_t>::max(), std::numeric_limits<std::int64_t>::min()}) {
    const PidOutput out = pid_step(loop.tuning, loop.state, {50, 48, 0, stamp});
    EXPECT_TRUE(std::isfinite(out.u));
    loop.state = out.next;
  }
}

TEST(PidTime, IsMeasuredBetweenStampsWhateverTheyStartFrom) {  // Z4, Z5: an hour more or less changes no bit
  for (const std::int64_t shift : {3'600'000'000'000LL, -3'600'000'000'000LL}) {
    pid_rig::Loop loop{kTimeTuning};
    pid_rig::Loop shifted{kTimeTuning};
    shifted.state.stamp_ns = shift;
    shifted.now_ns = shift;
    for (int k = 0; k < 50; ++k) {
      const double h = k % 3 == 0 ? 0.07 : 0.11;
      const double y = 50 * (1 - std::exp(-0.1 * k));
      EXPECT_EQ(shifted.step(50, y, h).u, loop.step(50, y, h).u) << k;
    }
  }
}

TEST(PidTime, TakesTheSameSampleOnlyOnce) {  // Z6
  pid_rig::Loop once{kTimeTuning};
  pid_rig::Loop twice{kTimeTuning};

  for (int k = 0; k < 20; ++k) {
    const double u = once.step(50, 2.0 * k, 0.1).u;
    once.state = pid_applied(once.state, u);
    twice.state = pid_applied(twice.state, twice.step(50, 2.0 * k, 0.1).u);
    const PidOutput again = twice.step(50, 2.0 * k, 0);
    EXPECT_EQ(again.u, u);
    EXPECT_EQ(twice.state, once.state);
  }
}

TEST(PidTime, NeverSkipsAStepThatComesALittleEarly) {  // Z7
  pid_rig::Loop loop = working_loop();

  for (int k = 0; k < 20; ++k) EXPECT_FALSE(loop.step(50, 40, 0.0999).why.held);
}

TEST(PidBadValue, HoldsTheCommandAndTouchesNothing) {  // N1
  for (const double bad : {kTimeNan, kTimeInf, -kTimeInf}) {
    const std::array<PidInput, 3> inputs = {{{bad, 40, 0.1, 0}, {50, bad, 0.1, 0}, {50, 40, bad, 0}}};
    for (PidInput in : inputs) {
      pid_rig::Loop loop = working_loop();
      in.stamp_ns = loop.now_ns + pid_rig::ns(0.1);

      const PidOutput out = pid_step(loop.tuning, loop.state, in);

      EXPECT_EQ(out.u, loop.state.output);
      EXPECT_EQ(out.next, loop.state);
      EXPECT_TRUE(out.why.held);
    }
  }
}

TEST(PidBadValue, IsAsIfTheSampleWereMissing) {  // N1
  pid_rig::Loop with_bad = working_loop();
  pid_rig::Loop without = working_loop();

  (void)with_bad.step(50, kTimeNan, 0.1);
  without.now_ns += pid_rig::ns(0.1);

  EXPECT_EQ(with_bad.step(50, 48, 0.1).u, without.step(50, 48, 0.1).u);
  EXPECT_EQ(with_bad.state, without.state);
}

TEST(PidBadValue, TooLargeForASumCountsAsBad) {  // N1: no inf - inf
  pid_rig::Loop loop = working_loop();
  loop.tuning.kc = 1e10;
  const double most = std::numeric_limits<double>::max();

  for (const double y : {most, -most}) {
    const PidOutput out = loop.step(-y, y, 0.1);
    EXPECT_TRUE(std::isfinite(out.u));
    EXPECT_TRUE(std::isfinite(out.next.integral));
  }
}

TEST(PidBadValue, CannotDriveTheIntegralAwayInAHundredMillionSteps) {  // N3
  // The recursion at a constant error is I -> I + a - c (I - I0), c <= 1: it is at its rest after a few
  // tracking times, so what holds there after 10^4 steps holds for any number of them.
  pid_rig::Loop loop{kTimeTuning};
  loop.tuning.td_s = 0;
  for (int k = 0; k < 10000; ++k) (void)loop.step(500, 0, 0.1);
  const double rest = loop.state.integral;

  for (int k = 0; k < 10000; ++k) (void)loop.step(500, 0, 0.1);

  EXPECT_NEAR(loop.state.integral, rest, 1e-12);
  EXPECT_NEAR(rest, 1.0, 1e-9);  // u_sat - P + K e Tt/Ti with Tt = Ti
}

TEST(PidBadValue, ComesBackFromALongBlackOutWithoutSticking) {  // N4
  pid_rig::Loop loop{{.kc = 0.025, .ti_s = 10}};
  pid_rig::LagPlant plant(100, 10, 0.5, 0.1);
  const auto run = [&](double seconds, bool blind) {
    double worst = 0;
    for (int k = 0; k < static_cast<int>(seconds * 10); ++k) {
      const double u = loop.step(50, blind ? kTimeNan : plant.y(), 0.1).u;
      loop.state = pid_applied(loop.state, u);
      plant.step(u);
      worst = std::max(worst, std::abs(plant.y() - 50));
    }
    return worst;
  };
  (void)run(120, false);

  EXPECT_LT(run(600, true), 0.01);  // held, not run away

  EXPECT_LT(run(60, false), 0.01);
}

// N4: blind for 30 s, the fan off meanwhile.
TEST(PidBadValue, DoesNotStickToTheLimitAfterTheGuardStoppedTheFan) {
  pid_rig::Loop loop{{.kc = 0.025, .ti_s = 10}};
  pid_rig::LagPlant plant(100, 10, 0.5, 0.1);
  double at_limit_s = 0;
  for (int k = 0; k < 3000; ++k) {
    const bool blind = k >= 1200 && k < 1500;
    double u = loop.step(50, blind ? kTimeNan : plant.y(), 0.1).u;
    if (blind) u = 0;
    loop.state = pid_applied(loop.state, u);
    plant.step(u);
    if (k >= 1500 && u >= 1) at_limit_s += 0.1;
  }

  // Back from 50 e^-3 Pa, full command alone needs 10 ln((100 - 2.5) / 50) = 6.7 s to the set-point, and 0.5
  // s.
  EXPECT_LT(at_limit_s, 7.2);
  EXPECT_NEAR(plant.y(), 50, 0.01);
}

}  // namespace
}  // namespace leeward::control
