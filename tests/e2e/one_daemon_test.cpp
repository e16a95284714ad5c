// Two daemons on one rig: the second is refused, whatever socket and state directory it has.
#include <gtest/gtest.h>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;
constexpr int kBusy = 75;  // source: EX_TEMPFAIL of sysexits.h

/// A second daemon, on the rig file of the first, that prints its refusal as JSON.
struct Second {
  Second(const Folder& folder, const std::string& state) {
    ::setenv("STATE_DIRECTORY", (folder / state).c_str(), 1);
    process.emplace(std::vector<std::string>{binary(), "serve", "--config", folder / "rig.toml", "--socket",
                                             folder / "second.sock", "--json"});
    ::setenv("STATE_DIRECTORY", (folder / "state").c_str(), 1);
  }
  std::optional<Process> process;
};

TEST(OneDaemon, ASecondOnTheSameDeviceEndsWith75AndNamesTheFirst) {
  const Folder folder;
  Bench bench(folder, 10);
  ASSERT_TRUE(bench.serve(folder));
  RigClient rig(bench.port());
  ASSERT_TRUE(bench.hold_30());

  Second second(folder, "other-state");

  EXPECT_EQ(second.process->wait_for_exit(seconds(10)), kBusy);
  const nlohmann::json error = nlohmann::json::parse(second.process->output(), nullptr, false);
  ASSERT_TRUE(error.is_object()) << second.process->output();
  const std::string detail = error["error"]["detail"];
  EXPECT_NE(detail.find("pid " + std::to_string(bench.status()["pid"].get<int>())), std::string::npos)
      << detail;
  EXPECT_NE(detail.find(bench.socket()), std::string::npos) << detail;
  EXPECT_NE(detail.find("drives the device"), std::string::npos) << detail;
  // It has not touched the fan.
  EXPECT_EQ(rig.input(22), 1);
  EXPECT_EQ(bench.phase(), "hold");
}

TEST(OneDaemon, ASecondOnTheSameStateDirectoryEndsWith75) {
  const Folder folder;
  std::string rig = read_text(source("config/rigs/simulated.toml"));
  Bench::replace(rig, "../", source("config/"));
  const std::string file = folder.write("rig.toml", rig);
  Process first({binary(), "serve", "--config", file, "--socket", folder / "first.sock"});
  ASSERT_TRUE(first.await_line("ready ", seconds(30)));

  Second second(folder, "state");

  EXPECT_EQ(second.process->wait_for_exit(seconds(10)), kBusy);
  EXPECT_NE(second.process->output().find("records into"), std::string::npos) << second.process->output();
}

TEST(OneDaemon, AKilledOneBlocksNobody) {
  const Folder folder;
  Bench bench(folder, 10);
  ASSERT_TRUE(bench.serve(folder));
  bench.daemon().signal(SIGKILL);
  (void)bench.daemon().wait_for_exit(seconds(5));

  Second second(folder, "state");

  EXPECT_TRUE(second.process->await_line("{\"ready\":true", seconds(10)));
  second.process->signal(SIGTERM);
  EXPECT_EQ(second.process->wait_for_exit(seconds(10)), 0);
}

}  // namespace
}  // namespace leeward::e2e
