// The derivative of the PID: no kicks, right slope, never a division by zero.

#include <gtest/gtest.h>

#include <array>
#include <limits>

#include "tests/control/regulate/pid_rig.hpp"

namespace leeward::control {
namespace {

constexpr double kNoLimit = 1e6;

PidTuning derivative_only(double n) {
  return {.kc = 1, .td_s = 1, .derivative_n = n, .out_min = -kNoLimit, .out_max = kNoLimit};
}

TEST(PidDerivative, IsZeroOnTheFirstCallWhateverTheReading) {  // D1
  pid_rig::Loop loop{derivative_only(10)};

  EXPECT_EQ(loop.step(0, 5, 0.1).why.d, 0);
}

TEST(PidDerivative, DoesNotSeeAStepOfTheSetpoint) {  // D2, bit for bit
  pid_rig::Loop still{derivative_only(10)};
  pid_rig::Loop stepped{derivative_only(10)};

  for (int k = 0; k < 30; ++k) {
    const double y = 0.3 * k + (k % 3) * 0.01;
    const double d = still.step(1, y, 0.1).why.d;
    EXPECT_EQ(stepped.step(k < 10 ? 1 : 40, y, 0.1).why.d, d) << k;
  }
}

TEST(PidDerivative, RestartsFromThePresentReadingAfterAGap) {  // D3
  pid_rig::Loop loop{derivative_only(10)};
  for (int k = 0; k < 5; ++k) (void)loop.step(0, 0.1 * k, 0.1);

  EXPECT_TRUE(loop.step(0, 50, 3.0).why.held);

  EXPECT_EQ(loop.step(0, 51, 0.1).why.d, 0);
  EXPECT_LT(loop.step(0, 51.1, 0.1).why.d, 0);
}

TEST(PidDerivative, RestartsFromThePresentReadingAfterAModeChange) {  // D3
  pid_rig::Loop loop{derivative_only(10)};
  for (int k = 0; k < 5; ++k) (void)loop.step(0, 0.1 * k, 0.1);

  loop.state = pid_start(loop.tuning, {0, 50, 0, loop.now_ns}, 0.3);

  EXPECT_EQ(loop.step(0, 50, 0.1).why.d, 0);
}

TEST(PidDerivative, OfARampIsItsSlopeForAnyInterval) {  // D4: -K Td s
  pid_rig::Loop even{derivative_only(10)};
  pid_rig::Loop uneven{derivative_only(10)};
  double even_d = 0;
  double uneven_d = 0;
  double t = 0;

  for (int k = 0; k < 400; ++k) {
    even_d = even.step(0, 0.5 * 0.1 * k, 0.1).why.d;
    const double h = k % 2 == 0 ? 0.02 : 0.18;
    t += h;
    uneven_d = uneven.step(0, 0.5 * t, h).why.d;
  }

  EXPECT_NEAR(even_d, -0.5, 1e-9);
  EXPECT_NEAR(uneven_d, -0.5, 1e-9);
}

TEST(PidDerivative, FilterHalvesTheRestWithEachStep) {  // D4: K = Td = 1, N = 10, h = 0.1
  pid_rig::Loop loop{derivative_only(10)};
  (void)loop.step(0, 0, 0.1);
  double y = 0;

  for (const double d : {-.5, -.75, -.875, -.9375}) {
    y += 0.1;
    EXPECT_NEAR(loop.step(0, y, 0.1).why.d, d, 1e-12);
  }
}

TEST(PidDerivative, IsExactlyNothingWithoutDerivativeTime) {  // D5
  for (const double n : {0.0, 8.0, std::numeric_limits<double>::infinity()}) {
    pid_rig::Loop loop{derivative_only(n)};
    loop.tuning.td_s = 0;
    for (int k = 0; k < 20; ++k) EXPECT_EQ(loop.step(0, k * k, 0.1).why.d, 0) << n;
  }
}

TEST(PidDerivative, NeverDividesByZeroForAnyFilter) {  // D5
  constexpr std::array<double, 5> filters = {0, 1e-300, 1e300, std::numeric_limits<double>::max(),
                                             std::numeric_limits<double>::infinity()};
  for (const double n : filters) {
    pid_rig::Loop loop{derivative_only(n)};
    for (int k = 0; k < 20; ++k) EXPECT_TRUE(std::isfinite(loop.step(0, k * k, 0.1).why.d)) << n;
  }
}

TEST(PidDerivative, UnfilteredIsThePlainDifference) {  // D5, N infinite
  pid_rig::Loop loop{derivative_only(std::numeric_limits<double>::infinity())};
  (void)loop.step(0, 1, 0.1);

  EXPECT_NEAR(loop.step(0, 1.2, 0.1).why.d, -2, 1e-12);
}

TEST(PidDerivative, OfAVeryShortStepIsBounded) {  // Z3: at most K N |dy|
  pid_rig::Loop loop{derivative_only(10)};
  (void)loop.step(0, 0, 0.1);

  const double d = loop.step(0, 0.3, 1e-6).why.d;

  EXPECT_LE(std::abs(d), 1 * 10 * 0.3);
  EXPECT_NE(d, 0);
}

}  // namespace
}  // namespace leeward::control
