// The experiment with a drive through the real binary, and what is left of it after a restart.
#include <gtest/gtest.h>

#include "daemon/config/load_house.hpp"
#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
constexpr double kSpeed = 20;  // simulated seconds per second

std::string stored_drive(const Folder& folder) {
  return folder / "state/drives/virtual-modbus--demo-fan.toml";
}

TEST(RigLearn, FindsTheDriveStoresItAndUsesItAfterARestart) {
  const Folder folder;
  Bench bench(folder, kSpeed);
  ASSERT_TRUE(bench.serve(folder));

  Process learn({binary(), "rig-learn", "--json", "--socket", bench.socket()});
  ASSERT_EQ(learn.wait_for_exit(seconds(120)), 0) << learn.output();

  const nlohmann::json found = nlohmann::json::parse(learn.output());
  const auto house = *daemon::load_house(source("config/houses/demo-house.toml")).value;
  const double slew_s = house.fans[0].drive.slew_s_full;
  EXPECT_GT(found["slew_s_high"].get<double>(), 0.8 * slew_s);
  EXPECT_LT(found["slew_s_low"].get<double>(), 1.2 * slew_s);
  EXPECT_LT(found["highest_pa"].get<double>(), 10);
  EXPECT_TRUE(RigClient(bench.port()).fan_is_off());
  ASSERT_EQ(folder.recordings().size(), 1u);

  bench.daemon().signal(SIGTERM);
  ASSERT_EQ(bench.daemon().wait_for_exit(seconds(10)), 0);
  ASSERT_TRUE(bench.serve(folder));
  const auto again = bench.client().request("GET", "/v1/rig-learn");
  ASSERT_TRUE(again.has_value());
  EXPECT_EQ(nlohmann::json::parse(again->body)["slew_s"], found["slew_s"]);
  ASSERT_TRUE(bench.hold_30());
  bench.daemon().signal(SIGTERM);
  EXPECT_EQ(bench.daemon().wait_for_exit(seconds(10)), 0);

  for (const std::string& recording : folder.recordings()) {
    Process replay({binary(), "replay", recording, "--json"});
    EXPECT_EQ(replay.wait_for_exit(seconds(60)), 0) << replay.output();
  }
}

TEST(RigLearn, ADamagedFileIsLeftAside) {
  const Folder folder;
  Bench bench(folder, kSpeed);
  std::filesystem::create_directories(folder / "state/drives");
  std::ofstream(stored_drive(folder)) << "[drive]\nslew_s = nan\n";

  ASSERT_TRUE(bench.serve(folder));

  const auto reply = bench.client().request("GET", "/v1/rig-learn");
  ASSERT_TRUE(reply.has_value());
  EXPECT_EQ(reply->status, 404);
}

TEST(RigLearn, AStopEndsItAndNothingIsStored) {
  const Folder folder;
  Bench bench(folder, kSpeed);
  ASSERT_TRUE(bench.serve(folder));
  Process learn({binary(), "rig-learn", "--json", "--socket", bench.socket()});
  RigClient rig(bench.port());
  ASSERT_TRUE(await([&] { return bench.phase() == "learn_drive"; }, seconds(60)));

  EXPECT_EQ(bench.post("/v1/stop"), 200);

  EXPECT_NE(learn.wait_for_exit(seconds(30)), 0);
  EXPECT_TRUE(await([&] { return rig.fan_is_off(); }, seconds(5)));
  EXPECT_FALSE(std::filesystem::exists(stored_drive(folder)));
}

}  // namespace
}  // namespace leeward::e2e
