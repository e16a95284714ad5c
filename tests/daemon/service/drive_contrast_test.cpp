#include "daemon/service/drive_contrast.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {

control::RegulatorSpec told() {
  control::RegulatorSpec spec;
  spec.drive_slew_s = 6;
  spec.drive_lag_s = 1;
  spec.sensor_lag_s = 0.3;
  spec.signal_lag_s = 0.3;
  return spec;
}

control::DriveFound found_as_told() {
  return {.known = true,
          .slew_s = {6, 0.1},
          .lag_s = {1, 0.1},
          .sensor_lag_s = {0.3, 0.02},
          .signal_lag_s = {0.3, 0.02},
          .offset_frac = {0.04, 0.01},
          .scale = {1, 0.1}};
}

TEST(DriveContrasts, WithinAFactorOfTwoThereIsNone) {
  control::DriveFound found = found_as_told();
  found.lag_s.value = 1.9;
  found.slew_s.value = 3.1;

  EXPECT_TRUE(drive_contrasts(told(), found).empty());
}

TEST(DriveContrasts, ALagOfMoreThanTwiceOrLessThanHalfIsNamedWithBothFigures) {
  control::DriveFound found = found_as_told();
  found.lag_s.value = 2.5;
  found.sensor_lag_s.value = 0.1;

  const auto warnings = drive_contrasts(told(), found);

  ASSERT_EQ(warnings.size(), 2U);
  EXPECT_THAT(warnings[0], testing::StartsWith("drive_lag_s: found 2.5"));
  EXPECT_THAT(warnings[1], testing::StartsWith("sensor_lag_s: found 0.1"));
}

TEST(DriveContrasts, WhatTheIntervalHoldsIsNoContrast) {
  control::DriveFound found = found_as_told();
  found.signal_lag_s = {0.1, 0.11};  // 1.96 standard uncertainties reach 0.316 s

  EXPECT_TRUE(drive_contrasts(told(), found).empty());
}

}  // namespace
}  // namespace leeward::daemon
