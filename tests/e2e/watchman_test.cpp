// Whatever dies or hangs, the fan's command is zero within a second: on the clock of the rig, whose own
// time-out has been made without effect.
#include <gtest/gtest.h>
#include <sys/ptrace.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
constexpr double kPromise_s = 1;
constexpr int kDied = 70;  // source: EX_SOFTWARE of sysexits.h

double monotonic_s() { return std::chrono::duration<double>(Clock::now().time_since_epoch()).count(); }

class Watched : public ::testing::Test {
 protected:
  Watched() : bench_(folder_, 10, "config/houses/demo-house.toml", "0", {"--tell-fan"}) {
    EXPECT_TRUE(bench_.serve(folder_));
    rig_.emplace(bench_.port());
    EXPECT_TRUE(rig_->put(130, 0));  // the drive takes a time-out and does not obey it
    EXPECT_TRUE(bench_.hold_30());
    const nlohmann::json status = bench_.status();
    daemon_ = status["pid"];
    watchman_ = status["watchman_pid"];
    EXPECT_EQ(watchman_, bench_.daemon().pid());
    EXPECT_NE(daemon_, watchman_);
  }
  /// @returns seconds from the signal to the drive's obeying off
  double off_after(pid_t whom, int signal) {
    const double began = monotonic_s();
    ::kill(whom, signal);
    return off_since(began);
  }
  double off_since(double began) {
    while (const auto line = bench_.rig().await_line("fan 1 off ", seconds(20))) {
      const double at = std::stod(line->substr(line->rfind(' ')));
      if (at > began) return at - began;  // an older line is of the climb
    }
    return 1e9;
  }
  Folder folder_;
  Bench bench_;
  std::optional<RigClient> rig_;
  pid_t daemon_ = -1;
  pid_t watchman_ = -1;
};

TEST_F(Watched, AKilledDaemonLeavesTheFanOff) {
  EXPECT_LT(off_after(daemon_, SIGKILL), kPromise_s);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), kDied);
  EXPECT_TRUE(rig_->fan_is_off());
}

TEST_F(Watched, AStoppedDaemonIsKilledAndTheFanOff) {
  EXPECT_LT(off_after(daemon_, SIGSTOP), kPromise_s);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), kDied);
  EXPECT_EQ(::kill(daemon_, 0), -1);  // nothing is left that could command the fan again
  EXPECT_TRUE(rig_->fan_is_off());
}

/// The id of the thread that drives the fan.
pid_t control_thread_of(pid_t daemon) {
  const std::string tasks = "/proc/" + std::to_string(daemon) + "/task";
  for (const auto& task : std::filesystem::directory_iterator(tasks))
    if (read_text(task.path() / "comm") == "control\n") return std::stoi(task.path().filename());
  return -1;
}

/// Only the control thread, as a debugger stops it: every other thread goes on and the interface answers.
TEST_F(Watched, AControlThreadHeldByADebuggerIsSeen) {
  const pid_t thread = control_thread_of(daemon_);
  ASSERT_GT(thread, 0);
  if (::ptrace(PTRACE_SEIZE, thread, nullptr, nullptr) != 0) GTEST_SKIP() << "no permission to debug";
  const double began = monotonic_s();
  ASSERT_EQ(::ptrace(PTRACE_INTERRUPT, thread, nullptr, nullptr), 0);

  EXPECT_LT(off_since(began), kPromise_s);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), kDied);
  while (::waitpid(thread, nullptr, __WALL) > 0) {  // a debugger gathers what it held
  }
}

TEST_F(Watched, AKilledWatchmanLeavesTheFanOffAndTheDaemonEnds) {
  EXPECT_LT(off_after(watchman_, SIGKILL), kPromise_s);
  EXPECT_TRUE(await([&] { return ::kill(daemon_, 0) != 0; }, seconds(10)));
  EXPECT_TRUE(rig_->fan_is_off());
}

TEST_F(Watched, AStoppedWatchmanIsMissed) {
  EXPECT_LT(off_after(watchman_, SIGSTOP), kPromise_s);
  ::kill(watchman_, SIGCONT);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), kDied);
}

TEST_F(Watched, WhatRanIsNotResumedAndTheNextDaemonBeginsAtRest) {
  (void)off_after(daemon_, SIGKILL);
  (void)bench_.daemon().wait_for_exit(seconds(10));
  ASSERT_TRUE(bench_.serve(folder_));
  EXPECT_EQ(bench_.phase(), "idle");
  EXPECT_TRUE(rig_->fan_is_off());
  const auto runs = bench_.client().request("GET", "/v1/runs");
  ASSERT_TRUE(runs);
  EXPECT_NE(runs->body.find("interrupted"), std::string::npos) << runs->body;
}

TEST_F(Watched, TheDaemonItselfCanBeEndedInOrder) {
  EXPECT_LT(off_after(daemon_, SIGTERM), kPromise_s);
  EXPECT_EQ(bench_.daemon().wait_for_exit(seconds(10)), 0);
}

}  // namespace
}  // namespace leeward::e2e
