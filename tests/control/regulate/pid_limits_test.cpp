// Limits, coarse actuators, set-point weight, scheduled gains, directions.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <limits>

#include "control/signs.hpp"
#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

TEST(PidLimits, AreKeptByEveryStep) {  // S1
  pid_rig::Loop loop{{.kc = 1, .ti_s = 1, .td_s = 0.5, .out_min = 0.2, .out_max = 0.7}};

  for (int k = 0; k < 500; ++k) {
    const double u = loop.step(10 * std::sin(0.1 * k), 8 * std::cos(0.37 * k), 0.1).u;
    EXPECT_GE(u, 0.2);
    EXPECT_LE(u, 0.7);
  }
}

TEST(PidLimits, AreKeptByAHeldStepToo) {  // S1
  pid_rig::Loop loop{{.kc = 1, .out_min = 0.2, .out_max = 0.7}};

  EXPECT_EQ(loop.step(std::nan(""), 0, 0.1).u, 0.2);
}

struct BadTuning {
  const char* field;
  PidTuning tuning;
};

TEST(PidTuning, IsRefusedWithTheNameOfTheField) {  // S1, W3
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  const std::array<BadTuning, 14> bad = {{{"out_min", {.out_min = 1, .out_max = 1}},
                                          {"out_min", {.out_min = 0.5, .out_max = 0.2}},
                                          {"out_min", {.out_min = nan}},
                                          {"kc", {.kc = nan}},
                                          {"ti_s", {.ti_s = 0}},
                                          {"ti_s", {.ti_s = -1}},
                                          {"td_s", {.td_s = -1}},
                                          {"derivative_n", {.td_s = 1, .derivative_n = 0}},
                                          {"tt_s", {.tt_s = nan}},
                                          {"setpoint_weight", {.setpoint_weight = 1.01}},
                                          {"setpoint_weight", {.setpoint_weight = -0.01}},
                                          {"deadband", {.deadband = -1}},
                                          {"max_gap_s", {.max_gap_s = 0}},
                                          {"integral_min", {.integral_min = 1, .integral_max = 0}}}};
  for (const BadTuning& b : bad) {
    const Result<PidTuning> result = checked(b.tuning);
    ASSERT_FALSE(result.has_value()) << b.field;
    EXPECT_EQ(result.error().field, b.field);
  }
  EXPECT_TRUE(checked({.kc = -0.02, .ti_s = 3, .td_s = 0.1}).has_value());
  EXPECT_TRUE(checked({.kc = 1, .derivative_n = 0}).has_value());
}

struct Hunting {
  double swing_pa = 0, mean_pa = 0;
};

/// Steady swing of the pressure with an actuator of so many steps: plant 100 Pa/unit, 10 s, 0.5 s.
Hunting hunting_of(int steps, bool told) {
  pid_rig::Loop loop{{.kc = 2.5 / 100, .ti_s = 10}};
  pid_rig::LagPlant plant(100, 10, 0.5, 0.1);
  double low = 1e9;
  double high = -1e9;
  for (int k = 0; k < 60000; ++k) {
    const double u = std::round(loop.step(50, plant.y(), 0.1).u * steps) / steps;
    if (told) loop.state = pid_applied(loop.state, u);
    plant.step(u);
    if (k < 30000) continue;
    low = std::min(low, plant.y());
    high = std::max(high, plant.y());
  }
  return {high - low, 0.5 * (high + low)};
}

TEST(PidLimits, CoarseActuatorHuntsByNoMoreThanAStep) {  // S3
  for (const int steps : {100, 255, 1000}) {
    EXPECT_LE(hunting_of(steps, false).swing_pa, 100.0 / steps) << steps;
    EXPECT_LE(hunting_of(steps, true).swing_pa, 100.0 / steps) << steps;
    EXPECT_NEAR(hunting_of(steps, false).mean_pa, 50, 100.0 / steps) << steps;
    EXPECT_NEAR(hunting_of(steps, true).mean_pa, 50, 100.0 / steps) << steps;
  }
  // Reference value 0.0215 Pa peak to peak for 1/255, against 0.392 Pa a step.
  EXPECT_NEAR(hunting_of(255, false).swing_pa, 0.0215, 0.0005);
}

struct WeightRun {
  double first = 0, last = 0;
};

WeightRun run_weight(double b) {
  pid_rig::Loop loop{{.kc = 2, .ti_s = 10, .setpoint_weight = b, .out_min = -100, .out_max = 100}};
  pid_rig::LagPlant plant(1, 10, 0, 0.1);
  WeightRun run;
  for (int k = 0; k < 3000; ++k) {
    const double u = loop.step(1, plant.y(), 0.1).u;
    if (k == 0) run.first = u;
    plant.step(u);
  }
  run.last = plant.y();
  return run;
}

TEST(PidWeight, ZeroMovesTheOutputOnlyThroughTheIntegral) {  // W1
  EXPECT_EQ(run_weight(0).first, 0);
  EXPECT_EQ(run_weight(0.5).first, 1);
  EXPECT_EQ(run_weight(1).first, 2);
}

TEST(PidWeight, DoesNotMatterInTheSteadyState) {  // W1
  for (const double b : {0.0, 0.5, 1.0}) EXPECT_NEAR(run_weight(b).last, 1, 1e-9) << b;
}

TEST(PidTuning, AtADefaultDisablesNoOtherSetting) {  // W2: each setting acts with all others as they come
  const auto path = [](const PidTuning& t) {
    pid_rig::Loop loop{t};
    double sum = 0;
    for (int k = 0; k < 50; ++k) sum += (k + 1) * loop.step(0.6, 0.4 + 0.1 * std::sin(0.3 * k), 0.1).u;
    return sum;
  };
  const PidTuning plain{.kc = 1, .ti_s = 2, .td_s = 0.5, .out_max = 0.5};
  PidTuning changed = plain;
  const double before = path(plain);
  const auto acts = [&](auto PidTuning::*field, double value) {
    changed = plain;
    changed.*field = value;
    return path(changed) != before;
  };

  EXPECT_TRUE(acts(&PidTuning::kc, 1.1));
  EXPECT_TRUE(acts(&PidTuning::ti_s, 2.2));
  EXPECT_TRUE(acts(&PidTuning::td_s, 0.6));
  EXPECT_TRUE(acts(&PidTuning::derivative_n, 5));
  EXPECT_TRUE(acts(&PidTuning::tt_s, 0.3));
  EXPECT_TRUE(acts(&PidTuning::setpoint_weight, 0.5));
  EXPECT_TRUE(acts(&PidTuning::out_min, 0.45));
  EXPECT_TRUE(acts(&PidTuning::out_max, 0.45));
  EXPECT_TRUE(acts(&PidTuning::deadband, 0.25));
  EXPECT_TRUE(acts(&PidTuning::integral_max, 0.05));
  EXPECT_TRUE(acts(&PidTuning::integral_min, 0.3));
}

// A fan whose flow goes with its command on a leak q = C dp^n: dp = 50 (u / 0.6)^(1/n).
constexpr double kLeakN = 0.65;
double leak_pressure(double u) { return 50 * std::pow(std::max(0.0, u) / 0.6, 1 / kLeakN); }
double leak_command(double dp) { return 0.6 * std::pow(dp / 50, kLeakN); }
double leak_gain(double dp) { return dp / (kLeakN * leak_command(dp)); }

TEST(PidSchedule, PlantGainIsThatOfThePowerLaw) {  // G2: 128.2 and 72.99 Pa/unit, ratio 5^(1-n)
  const auto slope = [](double dp) {
    const double u = leak_command(dp);
    return (leak_pressure(u + 1e-6) - leak_pressure(u - 1e-6)) / 2e-6;
  };

  EXPECT_NEAR(slope(50), 128.2, 0.05);
  EXPECT_NEAR(slope(10), 72.99, 0.01);
  EXPECT_NEAR(leak_gain(50) / leak_gain(10), 1.7565, 1e-4);
}

/// Pressure 3 s after a small step of the set-point, as a part of the step; the leak has a lag of 2 s.
double leak_response(double dp, double kc) {
  pid_rig::Loop loop{{.kc = kc, .ti_s = 2, .setpoint_weight = 0}};
  const double step = 0.01 * dp;
  double y = dp;
  loop.state = pid_track(loop.tuning, loop.state, {dp, y, 0, 0}, leak_command(dp));
  for (int k = 0; k < 30; ++k) {
    const double u = loop.step(dp + step, y, 0.1).u;
    y += (1 - std::exp(-0.1 / 2)) * (leak_pressure(u) - y);
  }
  return (y - dp) / step;
}

TEST(PidSchedule, ByPlantGainMakesHighAndLowPressureAlike) {  // G2
  const double low = leak_response(10, 0.8 / leak_gain(10));

  EXPECT_NEAR(leak_response(50, 0.8 / leak_gain(50)), low, 0.01);
  EXPECT_GT(std::abs(leak_response(50, 0.8 / leak_gain(10)) - low), 0.05);
}

TEST(PidSchedule,
     IsBumplessAlongAMovingSetpoint) {  // G1: gain of the set-point, continuous, retuned each step
  pid_rig::Loop loop{{.kc = 0.8 / leak_gain(5), .ti_s = 4}};
  double worst = 0;
  for (int k = 0; k < 900; ++k) {
    const double r = 5 + 0.05 * k;
    PidTuning to = loop.tuning;
    to.kc = 0.8 / leak_gain(r);
    const PidInput in{r, r - 1, 0, loop.now_ns + pid_rig::ns(0.1)};
    const double kept = pid_step(loop.tuning, loop.state, in).u;
    loop.state = pid_retune(loop.state, loop.tuning, to, in);
    loop.tuning = to;
    worst = std::max(worst, std::abs(loop.step(r, r - 1, 0.1).u - kept));
  }
  EXPECT_LT(worst, 1e-12);
}

/// Holds 50 Pa in a direction; a plant in signed pressures, a controller in sizes along the direction.
double held_pressure(Direction direction, double fan_sign, double kc) {
  pid_rig::Loop loop{
      {.kc = kc, .ti_s = 10, .out_min = std::min(0.0, fan_sign), .out_max = std::max(0.0, fan_sign)}};
  pid_rig::LagPlant plant(100 * sign_of(direction) * fan_sign, 10, 0.5, 0.1);
  for (int k = 0; k < 2000; ++k) plant.step(loop.step(50, along(direction, plant.y()), 0.1).u);
  return plant.y();
}

TEST(PidSigns, HoldEachDirection) {  // O3
  EXPECT_NEAR(held_pressure(Direction::pressurize, 1, 0.025), 50, 1e-6);
  EXPECT_NEAR(held_pressure(Direction::depressurize, 1, 0.025), -50, 1e-6);
}

TEST(PidSigns, HoldWithAReversedFanAndANegativeGain) {  // O3
  EXPECT_NEAR(held_pressure(Direction::pressurize, -1, -0.025), 50, 1e-6);
  EXPECT_NEAR(held_pressure(Direction::depressurize, -1, -0.025), -50, 1e-6);
}

}  // namespace
}  // namespace leeward::control
