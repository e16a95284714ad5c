// A run that is killed in its stations goes on in another daemon with what it had measured.
#include <gtest/gtest.h>

#include <algorithm>

#include "daemon/config/load_house.hpp"
#include "sim/house_truth.hpp"
#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using nlohmann::json;
using std::chrono::seconds;
constexpr double kResumeSpeed = 10;  // simulated seconds per second

double true_flow_m3_h() {
  return 3600 * sim::true_q50_m3_s(*daemon::load_house(source("config/houses/demo-house.toml")).value);
}

std::size_t stations_done(const Bench& bench) {
  const json status = bench.status();
  if (!status.is_object() || !status["plan"].is_object()) return 0;
  const json& stations = status["plan"]["stations"];
  return static_cast<std::size_t>(std::count_if(
      stations.begin(), stations.end(), [](const json& station) { return station["state"] == "done"; }));
}

/// @returns the id of the run that was cut
std::string cut_in_the_stations(Bench& bench, const std::string& direction) {
  Process run({binary(), "run", "iso-9972", "--building", source("config/buildings/demo-building.toml"),
               "--direction", direction, "--json", "--socket", bench.socket()});
  EXPECT_TRUE(await([&] { return stations_done(bench) >= 3; }, seconds(120)));
  const json status = bench.status();
  ::kill(status["pid"].get<pid_t>(), SIGKILL);
  (void)bench.daemon().wait_for_exit(seconds(10));
  (void)run.wait_for_exit(seconds(20));
  return status["run_id"];
}

json resumed(const Bench& bench, const std::string& cut, int& code) {
  Process resume({binary(), "resume", cut, "--json", "--socket", bench.socket()});
  code = resume.wait_for_exit(seconds(300));
  return json::parse(resume.output(), nullptr, false);
}

json cut_result(const Bench& bench, const std::string& cut) {
  const auto reply = bench.client().request("GET", "/v1/runs/" + cut + "/result");
  return reply ? json::parse(reply->body, nullptr, false) : json();
}

bool any_caution_says(const json& result, const std::string& words) {
  const json& cautions = result["cautions"];
  return std::any_of(cautions.begin(), cautions.end(), [&](const json& caution) {
    return caution.get<std::string>().find(words) != std::string::npos;
  });
}

TEST(Resume, GoesOnWithARunWhoseDaemonWasKilledAmongTheStations) {
  const Folder folder;
  Bench bench(folder, kResumeSpeed);
  ASSERT_TRUE(bench.serve(folder));
  const std::string cut = cut_in_the_stations(bench, "depressurize");
  ASSERT_TRUE(bench.serve(folder));
  EXPECT_NE(bench.phase(), "stations") << "nothing starts by itself";

  int code = -1;
  const json result = resumed(bench, cut, code);

  ASSERT_EQ(code, 0) << result;
  EXPECT_TRUE(result["valid"].get<bool>());
  EXPECT_NEAR(result["q50_m3_h"].get<double>() / true_flow_m3_h(), 1, 0.03);  // 3 m/s of wind
  EXPECT_EQ(result["continues"]["run_id"], cut);
  EXPECT_EQ(result["continues"]["sha256"].get<std::string>().size(), 64U);
  const std::size_t kept = result["continues"]["stations_kept"];
  EXPECT_GE(kept, 3U);
  EXPECT_TRUE(any_caution_says(result, "resumed"));
  const json& stations = result["stations"];
  EXPECT_EQ(static_cast<std::size_t>(std::count_if(stations.begin(), stations.end(),
                                                   [](const json& s) { return s["part"] == 1; })),
            kept);
  std::vector<double> targets;
  for (const json& station : stations) targets.push_back(station["target_pa"]);
  EXPECT_EQ(std::adjacent_find(targets.begin(), targets.end()), targets.end()) << "measured twice";

  const std::string id = result["run_id"];
  Process report({binary(), "report", id, "--pdf", folder / "report.pdf", "--socket", bench.socket()});
  EXPECT_EQ(report.wait_for_exit(seconds(60)), 0);
  bench.daemon().signal(SIGTERM);
  EXPECT_EQ(bench.daemon().wait_for_exit(seconds(10)), 0);
  Process replay({binary(), "replay", id, "--state", folder / "state", "--json"});
  EXPECT_EQ(replay.wait_for_exit(seconds(60)), 0) << replay.output();
}

TEST(Resume, RefusesARunThatIsOverAndAnotherFan) {
  const Folder folder;
  Bench bench(folder, kResumeSpeed);
  ASSERT_TRUE(bench.serve(folder));
  const std::string cut = cut_in_the_stations(bench, "both");
  std::string rig = read_text(source("config/rigs/virtual-modbus.toml"));
  Bench::replace(rig, "1502", std::to_string(bench.port()));
  std::string fan = read_text(source("config/fans/demo-fan.toml"));
  Bench::replace(fan, "0.204", "0.205");
  Bench::replace(rig, "../fans/demo-fan.toml", folder.write("other-fan.toml", fan));
  ASSERT_TRUE(bench.serve(folder, rig));

  const auto refused = bench.client().request("POST", "/v1/runs/" + cut + "/resume", "{}");
  ASSERT_TRUE(refused.has_value());
  EXPECT_EQ(refused->status, 409);
  EXPECT_NE(refused->body.find("restriction.k_m3_s_pam"), std::string::npos) << refused->body;
  EXPECT_EQ(cut_result(bench, cut)["state"], "interrupted");
  const auto unknown = bench.client().request("POST", "/v1/runs/run-20200101-000000/resume", "{}");
  ASSERT_TRUE(unknown.has_value());
  EXPECT_EQ(unknown->status, 404);
}

}  // namespace
}  // namespace leeward::e2e
