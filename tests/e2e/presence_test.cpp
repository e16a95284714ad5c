// A run that asks for a sign of life, as the real binary: what comes without one, and who brings it back.
#include <gtest/gtest.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
constexpr double kPresenceSpeed = 10;  // simulated seconds per second

class Presence : public ::testing::Test {
 protected:
  Presence() : bench_(folder_, kPresenceSpeed) { EXPECT_TRUE(bench_.serve(folder_)); }

  std::string state() const { return presence().value("state", ""); }
  nlohmann::json presence() const {
    const nlohmann::json s = bench_.status();
    return s.is_object() && s["presence"].is_object() ? s["presence"] : nlohmann::json::object();
  }
  double induced_pa() const {
    const nlohmann::json s = bench_.status();
    return s.is_object() && s["induced_pressure_pa"].is_number()
               ? std::abs(s["induced_pressure_pa"].get<double>())
               : 0;
  }
  int tell(const std::string& command) const {
    Process told({binary(), command, "--socket", bench_.socket()});
    return told.wait_for_exit(seconds(10));
  }
  double engine_s() const { return bench_.status()["engine_time_s"].get<double>(); }

  Folder folder_;
  Bench bench_;
};

TEST_F(Presence, TakesThePressureDownWaitsForTheCrewsWordAndAtLastStopsTheFan) {
  Process run({binary(), "run", "iso-9972", "--building", source("config/buildings/demo-building.toml"),
               "--direction", "depressurize", "--presence", "30", "--socket", bench_.socket()});
  ASSERT_TRUE(await([&] { return state() == "lowered"; }, seconds(90)));
  ASSERT_TRUE(await([&] { return induced_pa() < 13; }, seconds(30)));

  // Heard, and still low: nothing comes up by itself.
  ASSERT_EQ(tell("here"), 0);
  ASSERT_EQ(state(), "back");
  const double heard_s = engine_s();
  ASSERT_TRUE(await([&] { return engine_s() > heard_s + 10; }, seconds(10)));
  EXPECT_LT(induced_pa(), 16);  // the demo house stands in 3 m/s of wind
  EXPECT_EQ(bench_.status()["paused"], true);

  ASSERT_EQ(tell("continue"), 0);
  EXPECT_EQ(state(), "here");
  ASSERT_TRUE(await([&] { return induced_pa() > 20; }, seconds(30)));

  ASSERT_TRUE(await([&] { return bench_.phase() == "tripped"; }, seconds(60)));
  EXPECT_EQ(run.wait_for_exit(seconds(30)), 3);
  const nlohmann::json tripped = bench_.status();
  EXPECT_EQ(tripped["trip"]["cause"], "no_sign_of_life");
  EXPECT_EQ(tripped["run_state"], "tripped");
  EXPECT_TRUE(tripped["presence"].is_null());
  RigClient rig(bench_.port());
  EXPECT_TRUE(await([&] { return rig.fan_is_off(); }, seconds(5)));  // the ramp takes its 0.7 s

  bench_.daemon().signal(SIGTERM);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), 0);
  ASSERT_EQ(folder_.recordings().size(), 1u);
  Process replay({binary(), "replay", folder_.recordings()[0]});
  EXPECT_EQ(replay.wait_for_exit(seconds(60)), 0) << replay.output();
}

TEST_F(Presence, IsRefusedWhereNoRunAsksForIt) { EXPECT_EQ(tell("here"), 1); }

}  // namespace
}  // namespace leeward::e2e
