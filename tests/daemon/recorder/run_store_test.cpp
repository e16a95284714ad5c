#include "daemon/recorder/run_store.hpp"

#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>

#include "daemon/recorder/recorder.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using synthetic::TemporaryDirectory;

constexpr std::int64_t kRunStoreStart = 1795615653000;  // 2026-11-25 14:07:33 UTC, computed here

void record_run(const RunStore& store, const std::string& id, std::int64_t started) {
  RecordingMeta meta = synthetic::meta();
  meta.run_id = id;
  meta.started_unix_ms = started;
  auto recorder = Recorder::open(store.path_of(id), meta, {});
  ASSERT_TRUE(recorder.has_value()) << recorder.error().text;
  (*recorder)->close(control::RunState::done);
}

TEST(RunStore, NamesARunByItsTimeAndNeverTwice) {
  const TemporaryDirectory directory;
  const auto store = RunStore::open(directory / "runs");
  ASSERT_TRUE(store.has_value());

  EXPECT_EQ(store->new_id(kRunStoreStart), "run-20261125-140733");
  record_run(*store, "run-20261125-140733", kRunStoreStart);
  EXPECT_EQ(store->new_id(kRunStoreStart), "run-20261125-140733-2");
}

TEST(RunStore, ListsRunsNewestFirst) {
  const TemporaryDirectory directory;
  const auto store = RunStore::open(directory / "runs");
  ASSERT_TRUE(store.has_value());
  record_run(*store, "run-20261125-140733", kRunStoreStart);
  record_run(*store, "run-20261125-150000", kRunStoreStart + 3000000);

  const auto runs = store->list();

  ASSERT_EQ(runs.size(), 2U);
  EXPECT_EQ(runs[0].id, "run-20261125-150000");
  EXPECT_EQ(runs[0].state, control::RunState::done);
  EXPECT_EQ(runs[0].procedure, "steady");
  EXPECT_EQ(runs[0].building, "A house, invented");
  EXPECT_EQ(runs[1].started_unix_ms, kRunStoreStart);
}

TEST(RunStore, ListsADamagedFileAsUnreadable) {
  const TemporaryDirectory directory;
  const auto store = RunStore::open(directory / "runs");
  ASSERT_TRUE(store.has_value());
  std::ofstream(store->path_of("run-20261125-140733")) << "not a database at all, only a text of some length";
  std::ofstream(store->directory() / "notes.txt") << "no run";

  const auto runs = store->list();

  ASSERT_EQ(runs.size(), 1U);
  EXPECT_FALSE(runs[0].readable);
  EXPECT_EQ(runs[0].state, control::RunState::interrupted);
}

TEST(RunStore, FindsOnlyWhatIsARun) {
  const TemporaryDirectory directory;
  const auto store = RunStore::open(directory / "runs");
  ASSERT_TRUE(store.has_value());
  record_run(*store, "run-20261125-140733", kRunStoreStart);

  EXPECT_TRUE(store->find("run-20261125-140733").has_value());
  EXPECT_EQ(store->find("run-20261125-140734").error().code, control::Errc::missing_key);
  EXPECT_EQ(store->find("../run-20261125-140733").error().code, control::Errc::out_of_range);
  EXPECT_EQ(store->find("run-/../../etc").error().code, control::Errc::out_of_range);
  EXPECT_EQ(store->find("").error().code, control::Errc::out_of_range);
  EXPECT_GT(store->free_bytes(), 0U);
}

TEST(RunStore, CannotOpenBelowAFile) {
  const TemporaryDirectory directory;
  std::ofstream(directory / "file") << "x";

  EXPECT_FALSE(RunStore::open(directory / "file/runs").has_value());
}

class RunStoreVariable {
 public:
  RunStoreVariable(const char* name, const char* value) : name_(name) {
    if (const char* old = std::getenv(name)) old_ = old, had_ = true;
    value != nullptr ? setenv(name, value, 1) : unsetenv(name);
  }
  ~RunStoreVariable() { had_ ? setenv(name_, old_.c_str(), 1) : unsetenv(name_); }
  RunStoreVariable(const RunStoreVariable&) = delete;
  RunStoreVariable& operator=(const RunStoreVariable&) = delete;

 private:
  const char* name_;
  std::string old_;
  bool had_ = false;
};

TEST(DefaultRunsDirectory, FollowsTheVariablesInOrder) {
  const RunStoreVariable home("HOME", "/home/someone");
  const RunStoreVariable xdg("XDG_STATE_HOME", nullptr);
  const RunStoreVariable state("STATE_DIRECTORY", nullptr);
  EXPECT_EQ(*default_runs_directory(), "/home/someone/.local/state/leeward/runs");

  const RunStoreVariable xdg_set("XDG_STATE_HOME", "/state");
  EXPECT_EQ(*default_runs_directory(), "/state/leeward/runs");

  const RunStoreVariable state_set("STATE_DIRECTORY", "/var/lib/leeward:/var/lib/other");
  EXPECT_EQ(*default_runs_directory(), "/var/lib/leeward/runs");
}

TEST(DefaultRunsDirectory, IsAnErrorWithoutAnyVariable) {
  const RunStoreVariable home("HOME", nullptr);
  const RunStoreVariable xdg("XDG_STATE_HOME", nullptr);
  const RunStoreVariable state("STATE_DIRECTORY", "");

  EXPECT_FALSE(default_runs_directory().has_value());
}

}  // namespace
}  // namespace leeward::daemon
