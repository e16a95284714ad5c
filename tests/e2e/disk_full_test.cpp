// The disk fills up while the fan holds a pressure: a small disk of its own, mounted for the test.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/mount.h>
#include <sys/stat.h>

#include <cstring>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {
namespace {

using std::chrono::seconds;

/// The state folder as a disk of its own. A recording is begun only where 100 MB are free.
class SmallDisk {
 public:
  explicit SmallDisk(const Folder& folder) : path_(folder / "state") {
    ::mkdir(path_.c_str(), 0700);
    is_mounted_ = ::mount("tmpfs", path_.c_str(), "tmpfs", 0, "size=112m") == 0;
    reason_ = is_mounted_ ? "" : std::strerror(errno);
  }
  ~SmallDisk() {
    if (is_mounted_) ::umount2(path_.c_str(), MNT_DETACH);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;
  [[nodiscard]] bool is_mounted() const { return is_mounted_; }
  [[nodiscard]] const std::string& reason() const { return reason_; }

  /// Leaves not one byte.
  void fill() const {
    const int file = ::open((path_ + "/filler").c_str(), O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
    const std::vector<char> zeros(1 << 12);
    while (::write(file, zeros.data(), zeros.size()) > 0) {
    }
    ::close(file);
  }

 private:
  std::string path_;
  std::string reason_;
  bool is_mounted_ = false;
};

/// @returns what `recording check` says of it
nlohmann::json checked(const std::string& recording, int exit_code) {
  Process check({binary(), "recording", "check", recording, "--json"});
  EXPECT_EQ(check.wait_for_exit(seconds(30)), exit_code);
  return nlohmann::json::parse(check.output(), nullptr, false);
}

TEST(DiskFull, EndsAHoldInOrderAndKeepsWhatWasRecorded) {
  const Folder folder;
  const SmallDisk disk(folder);
  if (!disk.is_mounted()) GTEST_SKIP() << "a small disk can't be mounted here: " << disk.reason();
  Bench bench(folder, 10);
  ASSERT_TRUE(bench.serve(folder));
  RigClient rig(bench.port());
  ASSERT_TRUE(bench.hold_30());
  EXPECT_GT(rig.input_float(20), 0.1F);
  const nlohmann::json before = bench.status();
  const std::string recording = folder / ("state/runs/" + before["run_id"].get<std::string>() + ".leeward");
  ASSERT_TRUE(await([&] { return checked(recording, 0)["recorded_s"] > 10.0; }, seconds(20)));
  const auto ticks = checked(recording, 0)["ticks"].get<std::uint64_t>();

  disk.fill();

  EXPECT_TRUE(await([&] { return bench.phase() == "idle"; }, seconds(20)));
  EXPECT_TRUE(rig.fan_is_off());
  const nlohmann::json status = bench.status();
  ASSERT_TRUE(status["recorder_fault"].is_string()) << status;
  EXPECT_EQ(status["recorder_fault"].get<std::string>().rfind("The disk is full", 0), 0U) << status;
  EXPECT_EQ(status["run_state"], "stopped");
  EXPECT_EQ(bench.post("/v1/hold", R"({"target_pa": 10})"), 503) << "nothing begins on a full disk";
  const nlohmann::json check = checked(recording, 0);
  EXPECT_EQ(check["whole"], true) << check;
  EXPECT_GE(check["ticks"], ticks) << check;
  bench.daemon().signal(SIGTERM);
  EXPECT_EQ(bench.daemon().wait_for_exit(seconds(20)), 0);
  EXPECT_EQ(checked(recording, 0)["whole"], true);
}

}  // namespace
}  // namespace leeward::e2e
