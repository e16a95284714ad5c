#include "sim/drive.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::sim {
namespace {

DriveSpec test_drive() {
  return {.slew_s_full = 5, .lag_s = 1, .dead_band_frac = 0.04, .least_speed_frac = 0.03};
}

TEST(Drive, DeadBandAndLeastSpeedShapeTheSpeedThatADemandLeadsTo) {
  const Drive drive(test_drive());
  EXPECT_EQ(drive.speed_wanted(0), 0);
  EXPECT_EQ(drive.speed_wanted(0.04), 0);
  EXPECT_EQ(drive.speed_wanted(0.05), 0.03);  // 0.0104 would be below the least
  EXPECT_NEAR(drive.speed_wanted(0.52), 0.5, 1e-12);
  EXPECT_EQ(drive.speed_wanted(1), 1);
}

TEST(Drive, FollowsTheClosedFormOfARampThroughALag) {
  Drive drive(test_drive());
  const double slew = 1.0 / 5;
  for (int i = 1; i <= 40; ++i) {
    drive.step(1, 0.1);
    const double t = 0.1 * i;
    const double ramp = slew * (t - (1 - std::exp(-t)));  // lag 1 s on a ramp, algebra
    // absolute: slew dt^2 / 12, what the middle of a ramp's step leaves
    EXPECT_NEAR(drive.speed_frac(), ramp, 1.7e-4) << t;
  }
}

TEST(Drive, RunsUpToFullSpeedAndCoastsToAStand) {
  Drive drive(test_drive());
  for (int i = 0; i < 200; ++i) drive.step(1, 0.1);
  EXPECT_NEAR(drive.speed_frac(), 1, 1e-6);
  drive.step(0, 0.1);
  EXPECT_GT(drive.speed_frac(), 0.97);
  for (int i = 0; i < 200; ++i) drive.step(0, 0.1);
  EXPECT_EQ(drive.speed_frac(), 0);
}

}  // namespace
}  // namespace leeward::sim
