#include <gtest/gtest.h>

#include <atomic>
#include <memory>

#include "daemon/recorder/recorder.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "tests/daemon/recorder/faulty_vfs.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;
using synthetic::TemporaryDirectory;

RecorderOptions faults_quick() {
  RecorderOptions options;
  options.commit_period = 1ms;
  options.retry_period = 1ms;
  return options;
}

std::uint64_t ticks_in(const std::filesystem::path& path) {
  const auto reader = RecordingReader::open(path);
  if (!reader) return 0;
  const auto summary = reader->summary();
  return summary ? summary->ticks : 0;
}

bool file_is_sound(const std::filesystem::path& path) {
  auto db = Database::open(path, Database::Mode::read_only);
  auto check = db ? db->prepare("PRAGMA integrity_check") : tl::unexpected(db.error());
  return check && check->step().value_or(false) && check->text(0) == "ok";
}

TEST(RecorderFaults, FullDiskKeepsEverythingAndGoesOnOnceThereIsSpace) {
  const TemporaryDirectory directory;
  const FaultyVfs faulty;
  std::atomic<int> changes = 0;
  RecorderOptions options = faults_quick();
  options.on_change = [&](const RecorderHealth&) { ++changes; };
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {}, options);
  ASSERT_TRUE(recorder.has_value());
  for (std::uint64_t seq = 0; seq < 10; ++seq) synthetic::append(**recorder, seq);
  ASSERT_TRUE(synthetic::eventually([&] { return (*recorder)->health().last_committed_seq == 9U; }));

  FaultyVfs::refuse_all(true, SQLITE_FULL);
  for (std::uint64_t seq = 10; seq < 2000; ++seq) synthetic::append(**recorder, seq);
  ASSERT_TRUE(synthetic::eventually([&] { return !(*recorder)->health().recording; }));

  EXPECT_TRUE((*recorder)->health().disk_full);
  EXPECT_NE((*recorder)->health().last_error, "");
  EXPECT_EQ(ticks_in(directory / "a.leeward"), 10U);

  FaultyVfs::refuse_all(false, SQLITE_OK);
  ASSERT_TRUE(synthetic::eventually([&] { return (*recorder)->health().last_committed_seq == 1999U; }));

  EXPECT_TRUE((*recorder)->health().recording);
  EXPECT_FALSE((*recorder)->health().disk_full);
  EXPECT_EQ((*recorder)->health().dropped, 0U);
  (*recorder)->close(control::RunState::done);
  EXPECT_EQ(changes, 2);
  EXPECT_EQ(ticks_in(directory / "a.leeward"), 2000U);
  EXPECT_TRUE(file_is_sound(directory / "a.leeward"));
}

TEST(RecorderFaults, CloseGivesUpOnADiskThatRefuses) {
  const TemporaryDirectory directory;
  const FaultyVfs faulty;
  RecorderOptions options = faults_quick();
  options.close_patience = 20ms;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {}, options);
  ASSERT_TRUE(recorder.has_value());
  FaultyVfs::refuse_all(true, SQLITE_IOERR_WRITE);
  synthetic::append(**recorder, 0);

  (*recorder)->close(control::RunState::done);

  EXPECT_FALSE((*recorder)->health().recording);
  EXPECT_EQ((*recorder)->health().queue_depth, 1U);
  FaultyVfs::refuse_all(false, SQLITE_OK);
  EXPECT_EQ(RecordingReader::open(directory / "a.leeward")->summary()->state, control::RunState::interrupted);
}

/// Runs a whole recording whose n-th write fails once. @returns whether a write failed at all
bool record_with_fault_at(long n, int code) {
  const TemporaryDirectory directory;
  const FaultyVfs faulty;
  FaultyVfs::fail_once_at(n, code);
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {}, faults_quick());
  if (!recorder) return FaultyVfs::writes() >= n;  // the caller is told at once that nothing is recorded
  for (std::uint64_t seq = 0; seq < 30; ++seq) {
    synthetic::append(**recorder, seq);
    if (seq % 10 != 9) continue;
    EXPECT_TRUE(synthetic::eventually([&] { return (*recorder)->health().last_committed_seq == seq; }));
  }
  (*recorder)->close(control::RunState::done);
  recorder->reset();
  EXPECT_EQ(ticks_in(directory / "a.leeward"), 30U) << "fault at write " << n;
  EXPECT_TRUE(file_is_sound(directory / "a.leeward")) << "fault at write " << n;
  return FaultyVfs::writes() >= n;
}

TEST(RecorderFaults, FaultAtAnyWriteLosesNothing) {
  for (const int code : {SQLITE_IOERR_WRITE, SQLITE_IOERR_FSYNC, SQLITE_FULL, SQLITE_READONLY}) {
    long n = 1;
    while (record_with_fault_at(n, code) && !testing::Test::HasFailure()) ++n;
    EXPECT_GT(n, 30) << "the faults must have covered a whole recording";
  }
}

/// Records on a disk that from its n-th change on takes nothing. @returns whether that came to pass
bool record_with_faults_from(long n, int code) {
  const TemporaryDirectory directory;
  const FaultyVfs faulty;
  FaultyVfs::refuse_from(n, code);
  RecorderOptions options = faults_quick();
  options.close_patience = 2ms;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {}, options);
  if (!recorder) return true;  // the caller is told at once that nothing is recorded
  bool is_told = false;
  for (std::uint64_t seq = 0; seq < 20 && !is_told; ++seq) {
    synthetic::append(**recorder, seq);
    if (seq % 10 != 9) continue;
    const auto is_known = [&] {
      is_told = !(*recorder)->health().recording;
      return is_told || (*recorder)->health().last_committed_seq == seq;
    };
    EXPECT_TRUE(synthetic::eventually(is_known)) << "fault from change " << n;
  }
  (*recorder)->close(control::RunState::done);
  const RecorderHealth health = (*recorder)->health();
  recorder->reset();
  const bool has_failed = FaultyVfs::writes() >= n;
  FaultyVfs::refuse_all(false, SQLITE_OK);
  const std::uint64_t safe = health.last_committed_seq ? *health.last_committed_seq + 1 : 0;
  EXPECT_GE(ticks_in(directory / "a.leeward"), safe) << "fault from change " << n;
  EXPECT_TRUE(file_is_sound(directory / "a.leeward")) << "fault from change " << n;
  EXPECT_TRUE(health.recording || !health.last_error.empty());
  EXPECT_EQ(health.disk_full, !health.recording && code == SQLITE_FULL) << "fault from change " << n;
  return has_failed;
}

TEST(RecorderFaults, DiskThatTakesNothingFromAnyWriteOnIsSaidAndWhatWasSafeStays) {
  for (const int code : {SQLITE_IOERR_WRITE, SQLITE_IOERR_FSYNC, SQLITE_FULL, SQLITE_READONLY}) {
    long n = 1;
    while (record_with_faults_from(n, code) && !testing::Test::HasFailure()) ++n;
    EXPECT_GT(n, 30) << "the faults must have covered a whole recording";
  }
}

TEST(RecorderFaults, DiskThatHangsHoldsUpNobodyAndTheBacklogIsBounded) {
  constexpr std::uint64_t kTicks = 1000;
  const TemporaryDirectory directory;
  const FaultyVfs faulty;
  RecorderOptions options = faults_quick();
  options.keep_s = 10;
  auto recorder = Recorder::open(directory / "a.leeward", synthetic::meta(), {}, options);
  ASSERT_TRUE(recorder.has_value());
  EXPECT_EQ((*recorder)->writing_for(), 0ns);
  FaultyVfs::hold_syncs(true);
  synthetic::append(**recorder, 0);
  ASSERT_TRUE(synthetic::eventually([&] { return (*recorder)->writing_for() > 0ns; }));

  for (std::uint64_t seq = 1; seq < kTicks; ++seq) synthetic::append(**recorder, seq);

  const std::uint64_t kept = (*recorder)->backlog_max();
  EXPECT_LT(kept, kTicks);
  EXPECT_EQ((*recorder)->backlog(), kept);
  EXPECT_EQ((*recorder)->health().dropped, kTicks - kept);
  FaultyVfs::hold_syncs(false);
  (*recorder)->close(control::RunState::stopped);
  EXPECT_EQ(ticks_in(directory / "a.leeward"), kept) << "the oldest, without a hole";
}

}  // namespace
}  // namespace leeward::daemon
