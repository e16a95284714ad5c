#include "daemon/recorder/recording_reader.hpp"

#include <gtest/gtest.h>

#include <fstream>
#include <memory>

#include "daemon/recorder/recorder.hpp"
#include "daemon/recorder/replay.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using synthetic::TemporaryDirectory;

/// Ten ticks, then a change by SQL as another version might have written them.
void reader_file(const std::filesystem::path& path, const std::string& sql) {
  auto recorder = Recorder::open(path, synthetic::meta(), {});
  ASSERT_TRUE(recorder.has_value());
  for (std::uint64_t seq = 0; seq < 10; ++seq) synthetic::append(**recorder, seq);
  (*recorder)->close(control::RunState::done);
  auto db = Database::open(path, Database::Mode::read_write);
  ASSERT_TRUE(db.has_value());
  const auto done = db->run(sql);
  ASSERT_TRUE(done.has_value()) << done.error().text;
}

TEST(RecordingReader, RefusesWhatIsNoRecording) {
  const TemporaryDirectory directory;
  std::ofstream(directory / "text") << "not a database at all, only a text of some length";
  { const auto db = Database::open(directory / "other", Database::Mode::create_new); }

  EXPECT_FALSE(RecordingReader::open(directory / "text").has_value());
  EXPECT_FALSE(RecordingReader::open(directory / "other").has_value());
  EXPECT_FALSE(RecordingReader::open(directory / "missing").has_value());
}

TEST(RecordingReader, RefusesANewerVersionByName) {
  const TemporaryDirectory directory;
  reader_file(directory / "a.leeward", "PRAGMA user_version = 99");

  const auto reader = RecordingReader::open(directory / "a.leeward");

  ASSERT_FALSE(reader.has_value());
  EXPECT_EQ(reader.error().code, control::Errc::conflict);
  EXPECT_EQ(reader.error().text,
            "is a recording of version 99, and this leeward reads version 4; open it with the newer leeward "
            "that made it");
}

TEST(RecordingReader, RefusesAnOlderVersionByNameAndSaysWhatToDo) {
  const TemporaryDirectory directory;
  // As files of version 1 were: without the columns and the words that came later.
  reader_file(directory / "a.leeward",
              "PRAGMA user_version = 1; DELETE FROM columns WHERE name = 'trace_ln_c'; "
              "ALTER TABLE ticks DROP COLUMN trace_ln_c; DROP TABLE refusals");

  const auto reader = RecordingReader::open(directory / "a.leeward");

  ASSERT_FALSE(reader.has_value());
  EXPECT_EQ(reader.error().code, control::Errc::conflict);
  EXPECT_EQ(reader.error().text,
            "is a recording of version 1, and this leeward reads version 4; open it with the older leeward "
            "that made it");
}

TEST(RecordingReader, FollowsTheNamesOfEnumsNotTheirNumbers) {
  const TemporaryDirectory directory;
  reader_file(directory / "a.leeward",
              "UPDATE ticks SET trace_trip = 5; "
              "UPDATE enums SET name = 'was 5' WHERE column_name = 'trace_trip' AND number = 1; "
              "UPDATE enums SET name = 'pressure_missing' WHERE column_name = 'trace_trip' AND number = 5");

  const auto ticks = RecordingReader::open(directory / "a.leeward")->ticks_after(std::nullopt, 1);

  ASSERT_TRUE(ticks.has_value()) << ticks.error().text;
  EXPECT_EQ(ticks->front().output.trace.trip, control::TripCause::pressure_missing);
}

TEST(RecordingReader, RefusesTicksWithAWordThatItDoesNotKnow) {
  const TemporaryDirectory directory;
  reader_file(directory / "a.leeward",
              "UPDATE ticks SET trace_phase = 3; "
              "UPDATE enums SET name = 'someday' WHERE column_name = 'trace_phase' AND number = 3");

  const auto ticks = RecordingReader::open(directory / "a.leeward")->ticks_after(std::nullopt, 1);

  ASSERT_FALSE(ticks.has_value());
  EXPECT_EQ(ticks.error().field, "ticks");
}

TEST(RecordingReader, ReadsAFileThatLacksAColumnButDoesNotReplayIt) {
  const TemporaryDirectory directory;
  reader_file(directory / "a.leeward",
              "DELETE FROM columns WHERE name = 'trace_ln_c'; ALTER TABLE ticks DROP COLUMN trace_ln_c");

  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());

  EXPECT_EQ(reader->missing_columns(), std::vector<std::string>{"trace_ln_c"});
  EXPECT_EQ(reader->ticks_after(std::nullopt, 100)->size(), 10U);
  const auto report = replay(*reader, [](const control::EngineConfig&) { return StepFunction(); });
  ASSERT_FALSE(report.has_value());
  EXPECT_EQ(report.error().field, "trace_ln_c");
}

TEST(RecordingReader, NamesTheFieldOfAStateThatAnotherVersionWrote) {
  const TemporaryDirectory directory;
  reader_file(directory / "a.leeward",
              "UPDATE meta SET value = replace(value, '\"next_ask_id\"', '\"other\"') "
              "WHERE key = 'initial_state_json'");

  const auto state = RecordingReader::open(directory / "a.leeward")->initial_state();

  ASSERT_FALSE(state.has_value());
  EXPECT_EQ(state.error().field, "initial_state_json.next_ask_id");
}

}  // namespace
}  // namespace leeward::daemon
