// The experiment with a drive through the real binary, and what is left of it after a restart.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "daemon/config/found_drive.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
using testing::HasSubstr;
constexpr double kLearnSpeed = 20;  // simulated seconds per second

class RigLearn : public testing::Test {
 protected:
  bool serve(bool is_offered = true) {
    std::string rig = read_text(source("config/rigs/virtual-modbus.toml"));
    Bench::replace(rig, "1502", std::to_string(bench_.port()));
    // The house is too tight to be read with the widest.
    Bench::replace(rig, "fitted = \"bore-500\"", "fitted = \"bore-165\"");
    if (!RigClient(bench_.port()).put(101, 2)) return false;
    if (is_offered) Bench::replace(rig, "[rig]\n", "[rig]\nlearn_drive = true\n");
    return bench_.serve(folder_, rig);
  }
  bool restart() { return end() && serve(); }
  bool end() {
    bench_.daemon().signal(SIGTERM);
    return bench_.daemon().wait_for_exit(seconds(10)) == 0;
  }
  [[nodiscard]] Process learn() const {
    return Process({binary(), "rig-learn", "--json", "--socket", bench_.socket()});
  }
  [[nodiscard]] nlohmann::json known() const {
    const auto reply = bench_.client().request("GET", "/v1/rig-learn");
    return reply ? nlohmann::json::parse(reply->body) : nlohmann::json();
  }
  [[nodiscard]] std::string stored() const { return folder_ / "state/drives/virtual-modbus--demo-fan.toml"; }
  [[nodiscard]] bool is_stored() const { return std::filesystem::exists(stored()); }
  [[nodiscard]] std::vector<daemon::RecordingMeta> recorded() const {
    std::vector<daemon::RecordingMeta> out;
    for (const std::string& path : folder_.recordings()) {
      const auto reader = daemon::RecordingReader::open(path);
      if (const auto meta = reader ? reader->meta() : tl::unexpected(reader.error())) out.push_back(*meta);
    }
    std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.run_id < b.run_id; });
    return out;
  }
  void expect_replay() const {
    for (const std::string& recording : folder_.recordings()) {
      Process replay({binary(), "replay", recording, "--json"});
      EXPECT_EQ(replay.wait_for_exit(seconds(60)), 0) << replay.output();
    }
  }
  const Folder folder_;
  Bench bench_{folder_, kLearnSpeed};
};

TEST_F(RigLearn, FindsTheDriveStoresItAndUsesItAfterARestart) {
  ASSERT_TRUE(serve());

  Process learning = learn();
  ASSERT_EQ(learning.wait_for_exit(seconds(120)), 0) << learning.output();

  const nlohmann::json found = nlohmann::json::parse(learning.output());
  const auto house = *daemon::load_house(source("config/houses/demo-house.toml")).value;
  const double slew_s = house.fans[0].drive.slew_s_full;
  EXPECT_GT(found["slew_s_high"].get<double>(), 0.8 * slew_s);
  EXPECT_LT(found["slew_s_low"].get<double>(), 1.2 * slew_s);
  EXPECT_LT(found["highest_pa"].get<double>(), 10);
  EXPECT_TRUE(RigClient(bench_.port()).fan_is_off());
  const auto drive = daemon::load_found_drive(stored());
  ASSERT_TRUE(drive) << daemon::to_text(drive.errors);
  ASSERT_TRUE(bench_.hold_30());  // with what the engine was told meanwhile

  ASSERT_TRUE(restart());
  EXPECT_EQ(known()["slew_s"], found["slew_s"]);
  ASSERT_TRUE(bench_.hold_30());
  ASSERT_TRUE(end());

  const auto recordings = recorded();
  ASSERT_GE(recordings.size(), 3u);
  const control::RegulatorSpec& used = recordings.back().engine.regulator;
  EXPECT_EQ(used.drive_slew_s, drive.value->found.slew_s.value);
  EXPECT_EQ(used.drive_lag_s, drive.value->found.lag_s.value);
  EXPECT_EQ(used.sensor_lag_s, drive.value->found.sensor_lag_s.value);
  EXPECT_EQ(used.signal_lag_s, drive.value->found.signal_lag_s.value);
  EXPECT_NE(recordings.front().engine.regulator.drive_slew_s, used.drive_slew_s);
  EXPECT_THAT(recordings.back().rig_text, HasSubstr("# run_id = \"" + recordings.front().run_id + "\""));
  expect_replay();
}

TEST_F(RigLearn, ADamagedFileIsToldOfAndTheRigFileHolds) {
  std::filesystem::create_directories(folder_ / "state/drives");
  std::ofstream(stored()) << "[drive]\nformat = 1\nslew_s = nan\n";

  ASSERT_TRUE(serve());

  const nlohmann::json problem = known();
  EXPECT_EQ(problem["status"], 404);
  EXPECT_THAT(problem["detail"].get<std::string>(), HasSubstr("drive.slew_s"));
  EXPECT_THAT(problem["detail"].get<std::string>(), HasSubstr("the figures of the rig file hold"));
}

TEST_F(RigLearn, WithoutTheWordOfTheRigFileItIsRefused) {
  ASSERT_TRUE(serve(false));

  Process learning = learn();

  EXPECT_EQ(learning.wait_for_exit(seconds(30)), 1);
  EXPECT_THAT(learning.output(), HasSubstr("not_offered"));
  EXPECT_TRUE(folder_.recordings().empty());
}

TEST_F(RigLearn, AStopInTheMidstBringsTheFanToRestWithNothingStored) {
  ASSERT_TRUE(serve());
  Process learning = learn();
  RigClient rig(bench_.port());
  ASSERT_TRUE(await([&] { return bench_.phase() == "learn_drive" && !rig.fan_is_off(); }, seconds(60)));

  EXPECT_EQ(bench_.post("/v1/stop"), 200);

  EXPECT_EQ(learning.wait_for_exit(seconds(30)), 1) << learning.output();
  EXPECT_TRUE(await([&] { return rig.fan_is_off(); }, seconds(5)));
  EXPECT_TRUE(await([&] { return bench_.phase() == "idle"; }, seconds(30)));
  EXPECT_FALSE(is_stored());
  EXPECT_EQ(known()["status"], 404);
  ASSERT_TRUE(end());
  expect_replay();
}

}  // namespace
}  // namespace leeward::e2e
