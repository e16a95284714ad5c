// Taking over, changing gains: the command must not jump.

#include <gtest/gtest.h>

#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

constexpr PidTuning kBumplessTuning{.kc = 2, .ti_s = 4};

TEST(PidBumpless, TakesOverFromTheHandWithTheLastCommand) {  // B1: +0.01 for K = 2, Ti = 4, e = 0.2
  pid_rig::Loop loop{kBumplessTuning};
  loop.state = pid_track(loop.tuning, loop.state, {0.5, 0.3, 0.05, loop.now_ns}, 0.37);

  EXPECT_NEAR(loop.step(0.5, 0.3, 0.1, 0.05).u, 0.37, 1e-12);
  EXPECT_NEAR(loop.step(0.5, 0.3, 0.1, 0.05).u, 0.38, 1e-12);
}

TEST(PidBumpless, TakesOverInTheTickOfTheStart) {  // B1
  for (const double applied : {0.1, 0.37, 0.9}) {
    pid_rig::Loop loop{kBumplessTuning};
    loop.tuning.td_s = 0.3;
    loop.state = pid_start(loop.tuning, {0.5, 0.3, 0.05, 0}, applied);

    EXPECT_NEAR(loop.step(0.5, 0.3, 0.1, 0.05).u, applied, 1e-12);
    EXPECT_NEAR(loop.step(0.5, 0.3, 0.1, 0.05).u, applied, 1e-12);
    EXPECT_NEAR(loop.step(0.5, 0.3, 0.1, 0.05).u, applied + 0.01, 1e-12);
  }
}

TEST(PidBumpless, FollowsTheHandThroughBadReadings) {  // B1 with N1
  pid_rig::Loop loop{kBumplessTuning};
  loop.state = pid_track(loop.tuning, loop.state, {0.5, 0.3, 0, 0}, 0.37);
  const double integral = loop.state.integral;

  loop.state = pid_track(loop.tuning, loop.state, {0.5, std::nan(""), 0, 1}, 0.40);

  EXPECT_EQ(loop.state.integral, integral);
  EXPECT_EQ(loop.state.output, 0.40);
}

TEST(PidBumpless, IdleTimeIsNotOneHugeStep) {  // B2
  pid_rig::Loop loop{kBumplessTuning};
  for (int k = 0; k < 10; ++k) (void)loop.step(0.5, 0.4, 0.1);
  const PidState before = loop.state;

  const PidOutput back = loop.step(0.5, 0.4, 3600);
  EXPECT_TRUE(back.why.held);
  EXPECT_EQ(back.u, before.output);
  EXPECT_EQ(back.next.integral, before.integral);
  EXPECT_NEAR(loop.step(0.5, 0.4, 0.1).u, before.output + 0.005, 1e-12);
}

TEST(PidBumpless, ChangeOfGainLeavesTheOutput) {  // B3, both directions
  for (const double kc : {0.5, 8.0}) {
    for (const double b : {0.0, 1.0}) {
      pid_rig::Loop loop{kBumplessTuning};
      for (int k = 0; k < 5; ++k) (void)loop.step(0.5, 0.45, 0.1, 0.2);
      PidTuning to = loop.tuning;
      to.kc = kc;
      to.setpoint_weight = b;
      const PidInput now{0.5, 0.45, 0.2, loop.now_ns + pid_rig::ns(0.1)};

      const double unchanged = pid_step(loop.tuning, loop.state, now).u;
      const double changed = pid_step(to, pid_retune(loop.state, loop.tuning, to, now), now).u;

      EXPECT_NEAR(changed, unchanged, 1e-12) << kc << ' ' << b;
    }
  }
}

TEST(PidBumpless, ChangeOfIntegralTimeMovesNothing) {  // B4: the state is in output units
  pid_rig::Loop loop{kBumplessTuning};
  for (int k = 0; k < 5; ++k) (void)loop.step(0.5, 0.45, 0.1);
  PidTuning to = loop.tuning;
  const PidInput now{0.5, 0.45, 0, loop.now_ns + pid_rig::ns(0.1)};
  const double unchanged = pid_step(loop.tuning, loop.state, now).u;

  for (const double ti : {0.1, 400.0, std::numeric_limits<double>::infinity()}) {
    to.ti_s = ti;
    EXPECT_EQ(pid_step(to, loop.state, now).u, unchanged) << ti;
  }
}

TEST(PidBumpless, WithoutIntegralActionTheHeldOutputStays) {  // B4
  pid_rig::Loop loop{kBumplessTuning};
  for (int k = 0; k < 50; ++k) (void)loop.step(0.5, 0.45, 0.1);
  const double kept = loop.state.integral;
  loop.tuning.ti_s = std::numeric_limits<double>::infinity();

  for (int k = 0; k < 50; ++k) (void)loop.step(0.5, 0.45, 0.1);

  EXPECT_EQ(loop.state.integral, kept);
}

TEST(PidBumpless, EntryFromOffGivesThePresentSpeedOrTheLeastOne) {  // B5
  for (const double speed : {0.0, 0.2, 0.6}) {
    pid_rig::Loop loop{kBumplessTuning};
    loop.tuning.out_min = 0.2;
    loop.state = pid_start(loop.tuning, {0.9, 0.1, 0.3, 0}, speed);

    EXPECT_NEAR(loop.step(0.9, 0.1, 0.1, 0.3).u, std::max(speed, 0.2), 1e-12);
  }
}

}  // namespace
}  // namespace leeward::control
