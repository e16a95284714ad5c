#include "daemon/cli/run_follower.hpp"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "daemon/cli/exit_code.hpp"

namespace leeward::daemon {

class RunFollowerSays : public testing::Test {
 protected:
  void take(const std::string& name, const nlohmann::json& data) { follower_.take({"5", name, data.dump()}); }
  std::vector<std::string> said_;
  RunFollower follower_{"run-1", [this](const std::string& text) { said_.push_back(text); }, " --socket /s"};
};

TEST_F(RunFollowerSays, TellsItsOwnRunOnly) {
  take("phase", {{"run_id", "run-0"}, {"text", "old"}});
  take("phase", {{"run_id", "run-1"}, {"text", "new"}});
  take("phase", {{"run_id", nullptr}, {"text", "none"}});
  take("sample", {{"run_id", "run-1"}, {"text", "sample"}});

  EXPECT_EQ(said_, std::vector<std::string>{"new"});
  EXPECT_EQ(follower_.last_event_id(), "5");
}

TEST_F(RunFollowerSays, SaysHowToAnswerAnAsk) {
  take("ask",
       {{"run_id", "run-1"}, {"state", "open"}, {"id", "3"}, {"text", "Cover it."}, {"answers", {"done"}}});

  ASSERT_EQ(said_.size(), 2U);
  EXPECT_NE(said_[0].find("ask 3  Cover it. [done]"), std::string::npos);
  EXPECT_NE(said_[1].find("leeward answer 3 done --socket /s"), std::string::npos);
}

TEST_F(RunFollowerSays, SaysItOnce) {
  for (const char* id : {"3", "4"})
    take("ask", {{"run_id", "run-1"}, {"state", "open"}, {"id", id}, {"text", "t"}, {"answers", {"done"}}});

  EXPECT_EQ(said_.size(), 3U);
}

TEST_F(RunFollowerSays, IsOverWhenTheRunHasEnded) {
  take("run", {{"run_id", "run-1"}, {"state", "running"}});
  EXPECT_FALSE(follower_.is_over());
  take("run", {{"run_id", "run-1"}, {"state", "invalid"}});

  EXPECT_TRUE(follower_.is_over());
  EXPECT_EQ(follower_.end_state(), "invalid");
}

TEST_F(RunFollowerSays, AnExperimentByHandIsOverWhenItsPhaseIsAndTellsItsProgress) {
  RunFollower hand{"run-1", [this](const std::string& text) { said_.push_back(text); }, "",
                   RunFollower::Of::hand};
  const auto sample = [&hand](double left_s) {
    const nlohmann::json data = {
        {"phase", "learn_drive"}, {"phase_left_s", left_s}, {"induced_pressure_pa", -6.2}};
    hand.take({"5", "sample", data.dump()});
  };
  sample(50);
  EXPECT_TRUE(said_.empty()) << "that was another experiment's";
  hand.take({"5", "phase", nlohmann::json{{"run_id", "run-1"}, {"phase", "learn_drive"}}.dump()});
  for (const double left_s : {48.0, 47.0, 41.0, 39.9}) sample(left_s);
  EXPECT_EQ(said_.size(), 2U);
  EXPECT_FALSE(hand.is_over());

  hand.look_at_status({{"run_id", "run-1"}, {"phase", "learn_drive"}});
  EXPECT_FALSE(hand.is_over());
  hand.take({"6", "phase", nlohmann::json{{"run_id", "run-1"}, {"phase", "idle"}}.dump()});

  EXPECT_EQ(hand.end_state(), "done");
}

TEST_F(RunFollowerSays, AfterAGapAnotherRecordingMeansThatTheExperimentIsOver) {
  RunFollower hand{"run-1", [](const std::string&) {}, "", RunFollower::Of::hand};

  hand.look_at_status({{"run_id", "run-2"}, {"phase", "hold"}});

  EXPECT_TRUE(hand.is_over());
}

TEST_F(RunFollowerSays, AfterAGapTheRunMustBeLookedAt) {
  EXPECT_FALSE(follower_.take_gap());
  take("gap", {{"reason", "x"}});
  EXPECT_TRUE(follower_.take_gap());
  EXPECT_FALSE(follower_.take_gap());

  follower_.look_at({{"state", "running"}});
  EXPECT_FALSE(follower_.is_over());
  follower_.look_at({{"state", "tripped"}});
  EXPECT_TRUE(follower_.is_over());
}

TEST_F(RunFollowerSays, GarbageIsNothing) {
  follower_.take({"6", "run", "{not json"});
  follower_.take({"7", "run", "[]"});
  follower_.take({"8", "run", R"({"run_id": 1})"});

  EXPECT_FALSE(follower_.is_over());
}

TEST(ExitCodeOf, FollowsTheInterface) {
  EXPECT_EQ(exit_code_of("done"), 0);
  EXPECT_EQ(exit_code_of("stopped"), 1);
  EXPECT_EQ(exit_code_of("interrupted"), 1);
  EXPECT_EQ(exit_code_of("invalid"), 2);
  EXPECT_EQ(exit_code_of("tripped"), 3);
}

}  // namespace leeward::daemon
