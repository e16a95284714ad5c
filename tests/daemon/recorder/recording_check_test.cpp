#include "daemon/recorder/recording_check.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <memory>

#include "daemon/recorder/recorder.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using synthetic::TemporaryDirectory;

constexpr std::uint64_t kTicks = 600;
constexpr std::uintmax_t kPage = 4096;

/// 600 ticks, every hundredth with averages.
void check_file_at(const std::filesystem::path& path, bool closes) {
  auto recorder = Recorder::open(path, synthetic::meta(), {});
  ASSERT_TRUE(recorder.has_value());
  const auto state = std::make_unique<control::EngineState>();
  for (std::uint64_t seq = 0; seq < kTicks; ++seq)
    synthetic::append(**recorder, seq, seq % 100 == 99 ? state.get() : nullptr);
  if (closes) (*recorder)->close(control::RunState::done);
}

void overwrite(const std::filesystem::path& path, std::uintmax_t at, std::size_t size) {
  std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
  file.seekp(static_cast<std::streamoff>(at));
  const std::string junk(size, '\x5a');
  file.write(junk.data(), static_cast<std::streamsize>(junk.size()));
}

TEST(CheckRecording, SaysThatAWholeOneIsWhole) {
  const TemporaryDirectory directory;
  check_file_at(directory / "a.leeward", true);

  const auto check = check_recording(directory / "a.leeward");

  ASSERT_TRUE(check.has_value()) << check.error().text;
  EXPECT_TRUE(check->is_whole());
  EXPECT_TRUE(check->is_ended);
  EXPECT_EQ(check->state, control::RunState::done);
  EXPECT_EQ(check->run_id, synthetic::meta().run_id);
  EXPECT_EQ(check->ticks, (std::vector<TickRange>{{0, kTicks - 1}}));
  EXPECT_EQ(check->readable(), kTicks);
  EXPECT_EQ(check->snapshots, 6U);
}

TEST(CheckRecording, SaysThatTheEndWasNotWritten) {
  const TemporaryDirectory directory;
  check_file_at(directory / "a.leeward", false);

  const auto check = check_recording(directory / "a.leeward");

  ASSERT_TRUE(check.has_value());
  EXPECT_TRUE(check->is_whole());
  EXPECT_FALSE(check->is_ended);
  EXPECT_EQ(check->state, control::RunState::interrupted);
}

TEST(CheckRecording, NamesMissingTicks) {
  const TemporaryDirectory directory;
  check_file_at(directory / "a.leeward", true);
  ASSERT_TRUE(Database::open(directory / "a.leeward", Database::Mode::read_write)
                  ->run("DELETE FROM ticks WHERE seq BETWEEN 100 AND 149")
                  .has_value());

  const auto check = check_recording(directory / "a.leeward");

  ASSERT_TRUE(check.has_value());
  EXPECT_FALSE(check->is_whole());
  EXPECT_TRUE(check->damage.empty());
  EXPECT_EQ(check->ticks, (std::vector<TickRange>{{0, 99}, {150, kTicks - 1}}));
}

TEST(CheckRecording, ReadsAShortenedFileUpToTheBreak) {
  const TemporaryDirectory directory;
  check_file_at(directory / "a.leeward", true);
  const auto size = std::filesystem::file_size(directory / "a.leeward");
  std::filesystem::resize_file(directory / "a.leeward", size * 3 / 4);

  const auto check = check_recording(directory / "a.leeward");

  ASSERT_TRUE(check.has_value()) << check.error().text;
  EXPECT_FALSE(check->is_whole());
  EXPECT_FALSE(check->damage.empty());
  ASSERT_FALSE(check->ticks.empty());
  EXPECT_EQ(check->ticks.front().first_seq, 0U);
  EXPECT_GT(check->ticks.front().last_seq, kTicks / 4);
}

TEST(CheckRecording, FindsWhatLiesBehindAPageOfJunkToo) {
  const TemporaryDirectory directory;
  check_file_at(directory / "a.leeward", true);
  const auto pages = std::filesystem::file_size(directory / "a.leeward") / kPage;
  overwrite(directory / "a.leeward", pages / 2 * kPage, kPage);

  const auto check = check_recording(directory / "a.leeward");

  ASSERT_TRUE(check.has_value()) << check.error().text;
  EXPECT_FALSE(check->is_whole());
  ASSERT_EQ(check->ticks.size(), 2U);
  EXPECT_EQ(check->ticks.front().first_seq, 0U);
  EXPECT_EQ(check->ticks.back().last_seq, kTicks - 1);
  EXPECT_GT(check->readable(), kTicks * 9 / 10);
}

/// Every page in turn: nothing may end the program, and what is not whole is never called whole.
TEST(CheckRecording, SurvivesJunkInAnyPage) {
  const TemporaryDirectory directory;
  check_file_at(directory / "whole.leeward", true);
  const auto whole = check_recording(directory / "whole.leeward");
  ASSERT_TRUE(whole.has_value());
  const auto pages = std::filesystem::file_size(directory / "whole.leeward") / kPage;
  ASSERT_GT(pages, 50U);
  for (std::uintmax_t page = 0; page < pages; page += 1 + page / 40) {
    const auto path = directory / "a.leeward";
    std::filesystem::copy_file(directory / "whole.leeward", path,
                               std::filesystem::copy_options::overwrite_existing);
    overwrite(path, page * kPage, kPage);

    const auto check = check_recording(path);

    EXPECT_TRUE(!check || !check->is_whole()) << page;
  }
}

TEST(CheckRecording, RefusesWhatIsNoRecording) {
  const TemporaryDirectory directory;
  std::ofstream(directory / "text.leeward") << "no recording";
  std::ofstream(directory / "empty.leeward").flush();

  EXPECT_FALSE(check_recording(directory / "text.leeward").has_value());
  EXPECT_FALSE(check_recording(directory / "empty.leeward").has_value());
  EXPECT_FALSE(check_recording(directory / "none.leeward").has_value());
}

}  // namespace
}  // namespace leeward::daemon
