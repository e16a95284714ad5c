#include "daemon/api/status_json.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "daemon/api/event_json.hpp"
#include "tests/daemon/api/fake_backend.hpp"

namespace leeward::daemon {
namespace {
using control::Phase;
using control::RunState;

/// The fan drives, the signal is well inside the range of the restriction.
Snapshot status_driving() {
  Snapshot snapshot;
  snapshot.sample.fans[0].signal_pa = {40, 0, control::Quality::good};
  snapshot.trace.signal_pa[0] = 40;
  snapshot.trace.flow_m3_s[0] = 1.2;
  snapshot.outputs[0] = {true, 0.5};
  return snapshot;
}

control::EngineConfig status_config() {
  control::EngineConfig config = fake_config();
  config.fans[0].restrictions[0].signal_min_pa = 5;
  return config;
}

nlohmann::json flow_of(const Snapshot& snapshot) {
  return fan_json(snapshot, status_config(), 0)["flow_m3_s"];
}
}  // namespace

TEST(FanJson, AFlowIsKnownOnlyWhileTheFanDrivesAndItsSignalIsInRange) {
  Snapshot snapshot = status_driving();
  EXPECT_EQ(flow_of(snapshot), 1.2);

  snapshot.trace.signal_pa[0] = 4.9;
  EXPECT_TRUE(flow_of(snapshot).is_null());

  snapshot = status_driving();
  snapshot.outputs[0].enabled = false;
  EXPECT_TRUE(flow_of(snapshot).is_null());

  snapshot = status_driving();
  snapshot.sample.fans[0].signal_pa.quality = control::Quality::stale;
  EXPECT_TRUE(flow_of(snapshot).is_null());
}

TEST(FanJson, TheTotalFlowOfTheStreamIsKnownOnlyWithEveryFans) {
  const auto total_of = [](const Snapshot& snapshot) {
    return messages_of(snapshot, {}, nullptr, status_config()).at(0).data["flow_m3_s"];
  };
  Snapshot snapshot = status_driving();
  EXPECT_EQ(total_of(snapshot), 1.2);

  snapshot.outputs[0].enabled = false;
  EXPECT_TRUE(total_of(snapshot).is_null());
}

TEST(FanJson, TheCoverIsNullUntilSomebodyHasSaidHowItIs) {
  Snapshot snapshot;
  EXPECT_TRUE(fan_json(snapshot, status_config(), 0)["covered"].is_null());

  snapshot.is_cover_told[0] = true;
  EXPECT_EQ(fan_json(snapshot, status_config(), 0)["covered"], false);

  snapshot.state.fans[0].covered = true;
  EXPECT_EQ(fan_json(snapshot, status_config(), 0)["covered"], true);
}

TEST(StatusJson, TheRunStateIsThatOfTheRunIdAndNullBeforeTheFirst) {
  Snapshot snapshot;
  EXPECT_TRUE(status_json(snapshot, status_config())["run_state"].is_null());

  snapshot.run_id = "run-1";
  snapshot.is_run = true;
  snapshot.state.run_state = RunState::stopped;
  EXPECT_EQ(status_json(snapshot, status_config())["run_state"], "stopped");

  // A baseline by hand after it: the engine still knows the last run's end.
  snapshot.run_id = "run-2";
  snapshot.is_run = false;
  snapshot.by_hand = RunState::running;
  EXPECT_EQ(status_json(snapshot, status_config())["run_state"], "running");
}

TEST(StatusJson, TheSignOfLifeIsNullWhereNoneIsAskedFor) {
  EXPECT_TRUE(status_json(Snapshot{}, status_config())["presence"].is_null());
}

TEST(StatusJson, TheSignOfLifeSaysWhatIsLeftUntilTheNextThing) {
  using control::PresenceStage;
  const auto shown = [](const control::PresenceState& presence) {
    Snapshot snapshot = status_driving();
    snapshot.state.run.presence_s = 600;
    snapshot.state.presence = presence;
    const nlohmann::json status = status_json(snapshot, status_config())["presence"];
    EXPECT_EQ(messages_of(snapshot, {}, nullptr, status_config()).at(0).data["presence"], status);
    EXPECT_EQ(status["interval_s"], 600);
    return status;
  };

  nlohmann::json one = shown({PresenceStage::here, true, false, 100});
  EXPECT_EQ(one["state"], "here");
  EXPECT_EQ(one["left_s"], 500);
  one = shown({PresenceStage::here, true, true, 500});
  EXPECT_EQ(one["state"], "due");
  EXPECT_EQ(one["left_s"], 100);
  one = shown({PresenceStage::lowered, true, false, 700});
  EXPECT_EQ(one["state"], "lowered");
  EXPECT_EQ(one["left_s"], 500);
  one = shown({PresenceStage::back, true, false, 20});
  EXPECT_EQ(one["state"], "back");
  EXPECT_EQ(one["left_s"], 580);
  // The fan stands: nothing is counted.
  EXPECT_TRUE(shown({PresenceStage::here, false, false, 0})["left_s"].is_null());
}

TEST(StatusJson, APausedRunSaysSo) {
  Snapshot snapshot = status_driving();
  snapshot.trace.phase = snapshot.state.phase = Phase::climb;
  snapshot.trace.pressure_good = true;
  snapshot.trace.induced_pa = 22.4;
  snapshot.state.sequencer.paused = true;

  const std::string sentence = status_json(snapshot, status_config())["sentence"];

  EXPECT_EQ(sentence, "Paused, holding 22.4 Pa below outdoors until it is continued or stopped");
  EXPECT_EQ(messages_of(snapshot, {}, nullptr, status_config()).at(0).data["sentence"], sentence);
}

}  // namespace leeward::daemon
