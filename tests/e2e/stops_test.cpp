// However it ends, the fan's command is zero: seen in the rig's own registers.
#include <gtest/gtest.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;

class Stops : public ::testing::Test {
 protected:
  Stops() : bench_(folder_, 10) {
    EXPECT_TRUE(bench_.serve(folder_));
    rig_.emplace(bench_.port());
    EXPECT_TRUE(rig_->connected());
    EXPECT_TRUE(bench_.hold_30());
    EXPECT_GT(rig_->input_float(20), 0.1F);
    EXPECT_EQ(rig_->input(22), 1);
  }
  Folder folder_;
  Bench bench_;
  std::optional<RigClient> rig_;
};

TEST_F(Stops, SigtermLeavesTheFanOff) {
  bench_.daemon().signal(SIGTERM);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), 0);
  EXPECT_TRUE(rig_->fan_is_off());
}

TEST_F(Stops, SigintLeavesTheFanOff) {
  bench_.daemon().signal(SIGINT);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), 0);
  EXPECT_TRUE(rig_->fan_is_off());
}

TEST_F(Stops, AStopRequestIsObeyedAtOnce) {
  EXPECT_EQ(bench_.post("/v1/stop"), 200);
  EXPECT_TRUE(await([&] { return rig_->fan_is_off(); }, seconds(2)));
  EXPECT_EQ(bench_.phase(), "idle");
}

TEST_F(Stops, ADeviceThatGoesSilentLeavesTheFanOffAndIsNamed) {
  ASSERT_TRUE(rig_->put(120, 1));    // silent
  ASSERT_TRUE(rig_->put(121, 300));  // for 300 samples: 3 s of the wall clock
  EXPECT_TRUE(await([&] { return bench_.phase() == "tripped"; }, seconds(10)));
  EXPECT_TRUE(await([&] { return rig_->fan_is_off(); }, seconds(10)));
  const nlohmann::json trip = bench_.status()["trip"];
  EXPECT_EQ(trip["cause"], "pressure_missing") << trip;
  EXPECT_FALSE(trip["text"].get<std::string>().empty());
  // When the bus is back the fan stays off until a person clears the trip.
  EXPECT_TRUE(await([&] { return bench_.status()["building_pressure_pa"].is_number(); }, seconds(10)));
  EXPECT_TRUE(rig_->fan_is_off());
  EXPECT_EQ(bench_.post("/v1/hold", R"({"target_pa": 10})"), 409);
  EXPECT_EQ(bench_.post("/v1/clear-trip"), 200);
  EXPECT_EQ(bench_.phase(), "idle");
  EXPECT_TRUE(rig_->fan_is_off());
}

TEST_F(Stops, ARestartedDaemonStartsWithTheFanOff) {
  bench_.daemon().signal(SIGKILL);
  (void)bench_.daemon().wait_for_exit(seconds(5));
  ASSERT_TRUE(bench_.serve(folder_));
  EXPECT_TRUE(rig_->fan_is_off());
  EXPECT_EQ(bench_.phase(), "idle");
}

/// What the Modbus trial did to a client, each while the fan holds a pressure.
class BadBus : public Stops, public ::testing::WithParamInterface<int> {};

TEST_P(BadBus, IsSurvivedWithTheFanHeldOrOffAndTheFaultNamed) {
  ASSERT_TRUE(rig_->put(120, GetParam()));
  ASSERT_TRUE(rig_->put(121, 100));  // 1 s of the wall clock
  ASSERT_TRUE(await([&] { return bench_.phase() == "tripped"; }, seconds(10)));

  EXPECT_TRUE(await([&] { return rig_->fan_is_off(); }, seconds(5)));
  const nlohmann::json status = bench_.status();
  EXPECT_FALSE(status["trip"]["text"].get<std::string>().empty());
  EXPECT_TRUE(await([&] { return bench_.status()["building_pressure_pa"].is_number(); }, seconds(10)));
  EXPECT_EQ(bench_.post("/v1/clear-trip"), 200);
  EXPECT_TRUE(bench_.hold_30());  // and works on as if nothing had been
}

// silent, late, garbage, wrong transaction, wrong unit, closes mid-frame, stops mid-frame, trickle, NaN,
// closes, counter stands
INSTANTIATE_TEST_SUITE_P(Kinds, BadBus, ::testing::Values(1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12));

}  // namespace
}  // namespace leeward::e2e
