// The real program: a campaign that is killed or interrupted and goes on gives the bytes of one that was not.
#include <gtest/gtest.h>

#include <algorithm>
#include <thread>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;

std::vector<std::string> campaign(const std::string& out, std::vector<std::string> more = {}) {
  std::vector<std::string> line{binary(), "campaign",  source("config/populations/steps.toml"),
                                "--runs", "60",        "--seed",
                                "900",    "--threads", "2",
                                "--out",  out,         "--json"};
  line.insert(line.end(), more.begin(), more.end());
  return line;
}

/// Waits until so many lines stand in a file.
bool has_lines(const std::string& path, long wanted) {
  const auto deadline = Clock::now() + seconds(60);
  while (Clock::now() < deadline) {
    const std::string text = read_text(path);
    if (std::count(text.begin(), text.end(), '\n') >= wanted) return true;
    std::this_thread::yield();
  }
  return false;
}

void expect_same_results(const std::string& a, const std::string& b) {
  for (const char* name : {"/summary.json", "/runs.csv", "/plots.svg"}) {
    const std::string first = read_text(a + name);
    EXPECT_GT(first.size(), 1000U) << name;
    EXPECT_TRUE(first == read_text(b + name)) << name << " differs";
  }
}

TEST(Campaign, KilledAndResumedGivesTheSameBytes) {
  const Folder folder;
  Process whole(campaign(folder / "whole"));
  ASSERT_EQ(whole.wait_for_exit(seconds(120)), 0) << whole.output();
  {
    Process killed(campaign(folder / "cut"));
    ASSERT_TRUE(has_lines(folder / "cut/runs.log", 10));
    killed.signal(SIGKILL);
    ASSERT_EQ(killed.wait_for_exit(seconds(20)), -SIGKILL);
  }
  EXPECT_FALSE(std::filesystem::exists(folder / "cut/summary.json")) << "killed before its end";
  std::ofstream(folder / "cut/runs.log", std::ios::app) << "0123456789abcdef [59,[0,";  // a torn line

  Process resumed(campaign(folder / "cut", {"--resume"}));

  ASSERT_EQ(resumed.wait_for_exit(seconds(120)), 0) << resumed.output();
  expect_same_results(folder / "whole", folder / "cut");
  EXPECT_EQ(whole.output(), resumed.output());
}

TEST(Campaign, StopsCleanlyOnInterruptAndGoesOn) {
  const Folder folder;
  Process stopped(campaign(folder / "a"));
  ASSERT_TRUE(has_lines(folder / "a/runs.log", 5));
  stopped.signal(SIGINT);

  EXPECT_EQ(stopped.wait_for_exit(seconds(20)), 1);
  EXPECT_EQ(nlohmann::json::parse(stopped.output())["error"]["code"], "stopped");
  Process again(campaign(folder / "a"));
  EXPECT_EQ(again.wait_for_exit(seconds(20)), 64) << "nothing is written over without --resume";
  Process resumed(campaign(folder / "a", {"--resume"}));
  EXPECT_EQ(resumed.wait_for_exit(seconds(120)), 0);
  EXPECT_EQ(nlohmann::json::parse(resumed.output())["groups"][0]["runs"], 60);
}

TEST(Campaign, ShardsAreMergedAndTheWorstRunIsRunAlone) {
  const Folder folder;
  Process whole(campaign(folder / "whole"));
  ASSERT_EQ(whole.wait_for_exit(seconds(120)), 0);
  for (const char* part : {"1", "2"}) {
    Process shard(campaign(folder / part, {"--shard", std::string(part) + "/2"}));
    ASSERT_EQ(shard.wait_for_exit(seconds(120)), 0) << shard.output();
  }

  Process merge(
      {binary(), "campaign", "--merge", folder / "2", folder / "1", "--out", folder / "all", "--json"});

  ASSERT_EQ(merge.wait_for_exit(seconds(60)), 0) << merge.output();
  expect_same_results(folder / "whole", folder / "all");
  const auto worst = nlohmann::json::parse(merge.output())["worst"][0];
  Process alone({binary(), "campaign", source("config/populations/steps.toml"), "--only",
                 std::to_string(worst["seed"].get<int>()), "--json"});
  ASSERT_EQ(alone.wait_for_exit(seconds(60)), 0);
  EXPECT_EQ(nlohmann::json::parse(alone.output())["worst"][0]["value"], worst["value"]);
}

TEST(Campaign, RefusesWhatCannotBeFollowed) {
  Process nothing({binary(), "campaign", "--json"});
  EXPECT_EQ(nothing.wait_for_exit(seconds(20)), 64);
  Process no_place(
      {binary(), "campaign", source("config/populations/steps.toml"), "--shard", "1/2", "--json"});
  EXPECT_EQ(no_place.wait_for_exit(seconds(20)), 64);
  Process no_shard(
      {binary(), "campaign", source("config/populations/steps.toml"), "--shard", "3/2", "--json"});
  EXPECT_EQ(no_shard.wait_for_exit(seconds(20)), 64);
  Process no_file({binary(), "campaign", "none.toml", "--json"});
  EXPECT_EQ(no_file.wait_for_exit(seconds(20)), 65);
  Process no_setting({binary(), "campaign", source("config/populations/steps.toml"), "--against",
                      "closed_lop_s=1", "--json"});
  EXPECT_EQ(no_setting.wait_for_exit(seconds(20)), 65);
}

}  // namespace
}  // namespace leeward::e2e
