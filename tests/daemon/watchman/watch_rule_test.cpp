#include "daemon/watchman/watch_rule.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {
using std::chrono::milliseconds;

constexpr WatchLimits kLimits{milliseconds(400), milliseconds(700)};

WatchAct act(DaemonStage stage, int since_beat_ms, bool is_gone = false, bool is_fan_told = false) {
  return next_act({stage, is_gone, milliseconds(since_beat_ms), is_fan_told}, kLimits);
}
}  // namespace

TEST(WatchRule, ADaemonThatBeatsIsLeftAlone) {
  for (const DaemonStage stage :
       {DaemonStage::starting, DaemonStage::driving, DaemonStage::stopping, DaemonStage::at_rest})
    EXPECT_EQ(act(stage, 399), WatchAct::look_on) << static_cast<int>(stage);
}

TEST(WatchRule, ADaemonThatDrivesAndDoesNotBeatIsKilled) {
  EXPECT_EQ(act(DaemonStage::driving, 400), WatchAct::look_on);
  EXPECT_EQ(act(DaemonStage::driving, 401), WatchAct::kill_daemon);
}

TEST(WatchRule, TheLastOffMayTakeLonger) {
  EXPECT_EQ(act(DaemonStage::stopping, 650), WatchAct::look_on);
  EXPECT_EQ(act(DaemonStage::stopping, 701), WatchAct::kill_daemon);
}

TEST(WatchRule, WhatDoesNotDriveNeedNotBeat) {
  EXPECT_EQ(act(DaemonStage::starting, 60'000), WatchAct::look_on);
  EXPECT_EQ(act(DaemonStage::at_rest, 60'000), WatchAct::look_on);
}

TEST(WatchRule, ADeathWithTheFanNotOffStopsTheFanOnce) {
  for (const DaemonStage stage : {DaemonStage::driving, DaemonStage::stopping, DaemonStage::let_go}) {
    EXPECT_EQ(act(stage, 1, true), WatchAct::stop_fan) << static_cast<int>(stage);
    EXPECT_EQ(act(stage, 1, true, true), WatchAct::leave) << static_cast<int>(stage);
  }
}

/// A second daemon that is refused because the first drives the device must not stop the first one's fan.
TEST(WatchRule, ADaemonThatNeverDroveOrHasStoppedLeavesTheFanAlone) {
  EXPECT_EQ(act(DaemonStage::starting, 1, true), WatchAct::leave);
  EXPECT_EQ(act(DaemonStage::at_rest, 1, true), WatchAct::leave);
}

TEST(WatchRule, AnOffThatTheDeviceDidNotTakeIsWrittenAgainWhileTheDaemonCloses) {
  EXPECT_EQ(act(DaemonStage::let_go, 1), WatchAct::stop_fan);
  EXPECT_EQ(act(DaemonStage::let_go, 60'000, false, true), WatchAct::look_on);
}

// A sample may be 0.6 of a period late before it counts as missing; 200 ms more are the thread's own.
TEST(WatchLimits, AreAsShortAsTheSampleRateAllows) {
  RigSpec rig;
  rig.device = DeviceKind::modbus_tcp;
  for (const double sample_hz : {50.0, 20.0, 10.0}) {
    rig.engine.sample_hz = sample_hz;
    EXPECT_EQ(watch_limits(rig).driving, milliseconds(400)) << sample_hz;
  }
  rig.engine.sample_hz = 5;
  EXPECT_EQ(watch_limits(rig).driving, milliseconds(520));
  rig.engine.sample_hz = 1;
  EXPECT_EQ(watch_limits(rig).driving, milliseconds(1800));
}

TEST(WatchLimits, FollowTheSpeedOfASimulation) {
  RigSpec rig;
  rig.engine.sample_hz = 10;
  rig.simulated.speed = 0.1;
  EXPECT_EQ(watch_limits(rig).driving, milliseconds(1800));
}

}  // namespace leeward::daemon
