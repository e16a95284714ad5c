// The real binary as two processes over Modbus TCP: whole runs, their recordings, three clients at once.
#include <gtest/gtest.h>

#include <atomic>
#include <thread>

#include "daemon/config/load_house.hpp"
#include "sim/house_truth.hpp"
#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
constexpr double kSpeed = 20;  // simulated seconds per second

std::vector<std::string> run_command(const Bench& bench, const std::string& procedure,
                                     const std::string& direction) {
  return {binary(),      "run",     procedure, "--building", source("config/buildings/demo-building.toml"),
          "--direction", direction, "--json",  "--socket",   bench.socket()};
}

double true_q50_m3_h() {
  return 3600 * sim::true_q50_m3_s(*daemon::load_house(source("config/houses/demo-house.toml")).value);
}

TEST(WholeRun, MultiPointInBothDirectionsEndsWithATrueResultAndReplaysBitForBit) {
  const Folder folder;
  Bench bench(folder, kSpeed);
  ASSERT_GT(bench.port(), 0);
  ASSERT_TRUE(bench.serve(folder));

  Process run(run_command(bench, "iso-9972", "both"));
  ASSERT_EQ(run.wait_for_exit(seconds(300)), 0);

  const nlohmann::json result = nlohmann::json::parse(run.output());
  EXPECT_NEAR(result["q50_m3_h"].get<double>() / true_q50_m3_h(), 1, 0.03);  // 3 m/s of wind
  for (const char* key : {"q50_m3_h", "n50_per_h", "c_m3_h_pan", "n"}) {
    EXPECT_LT(result[std::string(key) + "_low"].get<double>(), result[key].get<double>()) << key;
    EXPECT_GT(result[std::string(key) + "_high"].get<double>(), result[key].get<double>()) << key;
  }
  EXPECT_EQ(result["directions"].size(), 2u);
  EXPECT_EQ(result["baselines"].size(), 4u);
  EXPECT_GE(result["verdicts"].size(), 10u);
  for (const nlohmann::json& v : result["verdicts"]) {
    EXPECT_TRUE(v.contains("clause") && v.contains("severity") && v.contains("mark")) << v;
  }

  RigClient rig(bench.port());
  EXPECT_TRUE(rig.fan_is_off());
  const std::string id = result["run_id"];
  const auto csv = bench.client().request("GET", "/v1/runs/" + id + "/samples.csv");
  ASSERT_TRUE(csv.has_value());
  EXPECT_EQ(csv->status, 200);
  EXPECT_GT(std::count(csv->body.begin(), csv->body.end(), '\n'), 5000);

  bench.daemon().signal(SIGTERM);
  EXPECT_EQ(bench.daemon().wait_for_exit(seconds(10)), 0);
  ASSERT_EQ(folder.recordings().size(), 1u);
  Process replay({binary(), "replay", id, "--state", folder / "state", "--json"});
  EXPECT_EQ(replay.wait_for_exit(seconds(60)), 0) << replay.output();
  Process later({binary(), "result", id, "--state", folder / "state", "--json"});
  EXPECT_EQ(later.wait_for_exit(seconds(60)), 0);
  EXPECT_EQ(nlohmann::json::parse(later.output())["q50_m3_h"], result["q50_m3_h"]);
}

TEST(WholeRun, ARunThatWasKilledInTheMiddleReplaysBitForBitAndTheDriveStops) {
  const Folder folder;
  Bench bench(folder, kSpeed);
  ASSERT_TRUE(bench.serve(folder));
  Process run(run_command(bench, "iso-9972", "depressurize"));
  ASSERT_TRUE(await([&] { return bench.phase() == "stations"; }, seconds(60)));

  bench.daemon().signal(SIGKILL);
  (void)bench.daemon().wait_for_exit(seconds(5));

  RigClient rig(bench.port());
  EXPECT_TRUE(await([&] { return rig.input_float(20) == 0.0F; }, seconds(5)));  // the drive's own time-out
  ASSERT_EQ(folder.recordings().size(), 1u);
  Process replay({binary(), "replay", folder.recordings()[0], "--json"});
  EXPECT_EQ(replay.wait_for_exit(seconds(60)), 0) << replay.output();
  const nlohmann::json report = nlohmann::json::parse(replay.output());
  EXPECT_GT(report["ticks"].get<int>(), 500);
}

TEST(WholeRun, ThreeClientsFollowARunAndNoneDisturbsIt) {
  const Folder folder;
  Bench bench(folder, kSpeed);
  ASSERT_TRUE(bench.serve(folder));
  std::atomic<int> events{0}, polls{0};
  std::atomic<bool> over{false};
  std::thread stream_a([&] {
    (void)bench.client().stream("/v1/stream", [&](const daemon::StreamEvent&) {
      ++events;
      return !over.load();
    });
  });
  std::thread stream_b([&] {
    (void)bench.client().stream("/v1/stream", [&](const daemon::StreamEvent&) {
      ++events;
      return !over.load();
    });
  });
  std::thread poller([&] {
    while (!over) {
      (void)bench.status();
      (void)bench.client().request("GET", "/v1/runs");
      (void)bench.client().request("GET", "/v1/asks");
      ++polls;
    }
  });

  Process run(run_command(bench, "single-point", "depressurize"));
  const int code = run.wait_for_exit(seconds(300));
  over = true;
  poller.join();
  stream_a.join();
  stream_b.join();

  EXPECT_EQ(code, 0);
  EXPECT_GT(events.load(), 500);
  EXPECT_GT(polls.load(), 10);
  const nlohmann::json result = nlohmann::json::parse(run.output());
  EXPECT_NEAR(result["q50_m3_h"].get<double>() / true_q50_m3_h(), 1, 0.05);
  bench.daemon().signal(SIGINT);
  EXPECT_EQ(bench.daemon().wait_for_exit(seconds(10)), 0);
}

TEST(WholeRun, OnTheEmbeddedSimulatedRigAnsweredFromTheCommandLine) {
  const Folder folder;
  std::string rig = read_text(source("config/rigs/simulated.toml"));
  Bench::replace(rig, "../", source("config/"));
  rig = rig.substr(0, rig.find("speed =")) + "speed = 50 #" + rig.substr(rig.find("speed =") + 7);
  const std::string file = folder.write("rig.toml", rig);
  const std::string socket = folder / "api.sock";
  Process daemon({binary(), "serve", "--config", file, "--socket", socket, "--json"});
  const auto ready = daemon.await_line("{", seconds(30));
  ASSERT_TRUE(ready);
  EXPECT_EQ(nlohmann::json::parse(*ready)["socket"], socket);
  const auto client = daemon::HttpClient::unix_socket(socket);
  const auto get = [&](const std::string& target) {
    const auto reply = client.request("GET", target);
    return reply ? nlohmann::json::parse(reply->body) : nlohmann::json();
  };

  Process run({binary(), "run", "single-point", "--building", source("config/buildings/demo-building.toml"),
               "--json", "--socket", socket});
  std::optional<int> code;
  std::thread follower([&] { code = run.wait_for_exit(seconds(200)); });
  const bool over = await(
      [&] {
        const nlohmann::json open = get("/v1/asks");
        for (const nlohmann::json& ask : open["asks"]) {
          Process answer({binary(), "answer", ask["id"].get<std::string>(), "done", "--socket", socket});
          (void)answer.wait_for_exit(seconds(10));
        }
        const nlohmann::json s = get("/v1/status");
        return s["phase"] == "result";
      },
      seconds(180));
  follower.join();

  EXPECT_TRUE(over);
  EXPECT_EQ(code, 0) << run.output();
  EXPECT_GT(nlohmann::json::parse(run.output())["q50_m3_h"].get<double>(), 0);
}

}  // namespace
}  // namespace leeward::e2e
