#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <memory>
#include <random>

#include "daemon/recorder/recorder.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "daemon/words/compare.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;
using synthetic::TemporaryDirectory;

/// The child: records without end and tells what it knows to be safe.
[[noreturn]] void record_until_killed(const std::filesystem::path& path, int pipe) {
  RecorderOptions options;
  options.commit_period = 2ms;
  auto recorder = Recorder::open(path, synthetic::meta(), {}, options);
  if (!recorder) _exit(1);
  std::optional<std::uint64_t> told;
  for (std::uint64_t seq = 0;; ++seq) {
    synthetic::append(**recorder, seq);
    RecorderHealth health = (*recorder)->health();
    while (health.queue_depth > 500) {
      std::this_thread::yield();
      health = (*recorder)->health();
    }
    if (health.last_committed_seq == told) continue;
    told = health.last_committed_seq;
    if (write(pipe, &*told, sizeof *told) != sizeof *told) _exit(2);
  }
}

/// Kills a recording after so many commits. @returns the last tick that the child knew to be safe
std::uint64_t kill_after_commits(const std::filesystem::path& path, unsigned commits,
                                 std::mt19937_64& random) {
  int pipe_ends[2];
  if (pipe(pipe_ends) != 0) std::abort();
  const pid_t child = fork();
  if (child == 0) {
    close(pipe_ends[0]);
    record_until_killed(path, pipe_ends[1]);
  }
  close(pipe_ends[1]);
  std::uint64_t safe = 0;
  for (unsigned i = 0; i < commits; ++i)
    if (read(pipe_ends[0], &safe, sizeof safe) != sizeof safe) break;
  random.discard(random() % 2000000);  // a random moment, up to some milliseconds later
  kill(child, SIGKILL);
  int status = 0;
  waitpid(child, &status, 0);
  std::uint64_t later = 0;
  while (read(pipe_ends[0], &later, sizeof later) == sizeof later) safe = later;
  close(pipe_ends[0]);
  return safe;
}

TEST(RecorderKill, AtAnyMomentLosesNothingThatWasSafeAndLeavesNoGap) {
  std::mt19937_64 random(7);
  for (int round = 0; round < 200 && !HasFailure(); ++round) {
    const TemporaryDirectory directory;
    const auto path = directory / "a.leeward";

    const std::uint64_t safe = kill_after_commits(path, 1 + static_cast<unsigned>(random() % 6), random);

    const auto reader = RecordingReader::open(path);
    ASSERT_TRUE(reader.has_value()) << reader.error().text;
    const auto summary = reader->summary();
    ASSERT_TRUE(summary.has_value()) << summary.error().text;
    EXPECT_EQ(summary->state, control::RunState::interrupted);
    EXPECT_GE(summary->last_seq, safe);
    EXPECT_EQ(summary->ticks, summary->last_seq + 1);
    const auto last = reader->ticks_after(summary->last_seq - 1, 10);
    ASSERT_TRUE(last.has_value() && last->size() == 1);
    const RecordedTick expected = synthetic::tick(summary->last_seq);
    EXPECT_FALSE(first_difference(expected.output, last->front().output).has_value());
    EXPECT_TRUE(reader->initial_state().has_value());
  }
}

}  // namespace
}  // namespace leeward::daemon
