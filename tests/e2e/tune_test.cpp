// Tuning through the real binary: the figures, and a rig file that the other commands take.
#include <gtest/gtest.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

nlohmann::json tuned(std::vector<std::string> arguments, int exit_code) {
  arguments.insert(arguments.begin(), {binary(), "tune", source("config/rigs/simulated.toml")});
  arguments.emplace_back("--json");
  Process process(arguments);
  EXPECT_EQ(process.wait_for_exit(std::chrono::seconds(60)), exit_code) << process.output();
  return nlohmann::json::parse(process.output(), nullptr, false);
}

TEST(TuneCommandLine, WritesARigFileThatCheckTakesAndServeRuns) {
  const Folder folder;
  const std::string out = folder / "tuned.toml";

  const nlohmann::json found = tuned({"--seed", "5", "--out", out}, 0);

  EXPECT_LT(found["margins"].value("ms", 9.0), 2);
  EXPECT_GT(found["gains"].value("kc_frac_per_pa", 0.0), 0);
  EXPECT_GT(found["gains"].value("ti_s", 0.0), 0);
  EXPECT_LE(found["experiment"].value("furthest_pa", 99.0), 5);
  EXPECT_GT(found["experiment"]["record"]["pressure_pa"].size(), 100U);
  Process check({binary(), "check", out});
  EXPECT_EQ(check.wait_for_exit(std::chrono::seconds(30)), 0) << check.output();
  Process serve({binary(), "serve", "--config", out, "--socket", folder / "api.sock"});
  EXPECT_TRUE(serve.await_line("ready ", std::chrono::seconds(30)).has_value());
}

TEST(TuneCommandLine, SaysWhyItFoundNothing) {
  const nlohmann::json leaky = tuned({"--house", source("config/houses/too-leaky-hall.toml")}, 1);
  const nlohmann::json windy = tuned({"--house", source("config/houses/windy-row-house.toml")}, 1);
  const nlohmann::json missing = tuned({"--house", "/nowhere.toml"}, 65);

  EXPECT_EQ(leaky["error"].value("code", ""), "not_tuned");
  EXPECT_NE(leaky["error"].value("detail", "").find("can't hold 50 Pa"), std::string::npos);
  EXPECT_NE(windy["error"].value("detail", "").find("the wind"), std::string::npos);
  EXPECT_EQ(missing["error"].value("code", ""), "bad_house");
}

}  // namespace
}  // namespace leeward::e2e
