// Traces of the PID, worked out outside this program (Python and C++ prototypes agree to all digits).

#include <gtest/gtest.h>

#include <array>

#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

constexpr std::array<double, 10> kGoldenY = {0, 0, .05, .12, .20, .28, .35, .41, .46, .50};

PidTuning golden_pi() { return {.kc = 2, .ti_s = 4, .tt_s = 4, .setpoint_weight = 0.7}; }

PidTuning golden_pid() {
  PidTuning t = golden_pi();
  t.td_s = 0.2;
  t.derivative_n = 5;
  t.tt_s = 0;  // sqrt(Ti Td) = 0.894427191
  return t;
}

TEST(PidStep, FollowsTheGoldenPiTrace) {  // T1
  pid_rig::Loop loop{golden_pi()};
  constexpr std::array<double, 10> u = {.84, .87, .80, .6875, .5515, .4115, .2875, .18, .0895, .0165};

  for (std::size_t k = 0; k < u.size(); ++k)
    EXPECT_NEAR(loop.step(0.6, kGoldenY[k], 0.1).u, u[k], 1e-12) << k;

  EXPECT_NEAR(loop.state.integral, 0.1815, 1e-12);
}

TEST(PidStep, FollowsTheGoldenPidTrace) {  // T2
  pid_rig::Loop loop{golden_pid()};
  constexpr std::array<double, 10> d = {0,           0,           -.142857143, -.240816327, -.297376093,
                                        -.313536027, -.289581722, -.254166206, -.215476059, -.175850303};
  constexpr std::array<double, 4> late_v = {-.002081722, -.073933463, -.117477303, -.137717185};

  for (std::size_t k = 0; k < d.size(); ++k) {
    const PidOutput out = loop.step(0.6, kGoldenY[k], 0.1);
    EXPECT_NEAR(out.why.d, d[k], 1e-9) << k;
    if (k < 6) continue;
    EXPECT_NEAR(out.why.unlimited, late_v[k - 6], 1e-9) << k;
    EXPECT_EQ(out.u, 0) << k;
    EXPECT_TRUE(out.why.at_min) << k;
  }

  EXPECT_NEAR(loop.state.integral, 0.218530367, 1e-9);
}

TEST(PidStep, FollowsTheGoldenTraceOfASaturatedPi) {  // T3
  pid_rig::Loop loop{{.kc = 2, .ti_s = 4, .tt_s = 4}};
  constexpr std::array<double, 5> i = {0, .025, .049375, .073140625, .096312109375};

  for (std::size_t k = 0; k < i.size(); ++k) {
    const PidOutput out = loop.step(1, 0, 0.1);
    EXPECT_NEAR(out.why.i, i[k], 1e-12) << k;
    EXPECT_EQ(out.u, 1) << k;
    EXPECT_TRUE(out.why.at_max) << k;
  }
  for (int k = 0; k < 2000; ++k) (void)loop.step(1, 0, 0.1);

  EXPECT_NEAR(loop.state.integral, 1.0, 1e-12);
}

TEST(PidStep, SettlesAtTheLimitWhereErrorAndTrackingBalance) {  // T3: I = u_sat - P + K e Tt/Ti
  pid_rig::Loop loop{{.kc = 2, .ti_s = 4, .tt_s = 1}};

  for (int k = 0; k < 2000; ++k) (void)loop.step(1, 0, 0.1);

  EXPECT_NEAR(loop.state.integral, -0.5, 1e-12);
}

}  // namespace
}  // namespace leeward::control
