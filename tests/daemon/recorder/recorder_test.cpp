#include "daemon/recorder/recorder.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <memory>

#include "daemon/recorder/recording_reader.hpp"
#include "daemon/words/compare.hpp"
#include "tests/daemon/recorder/faulty_vfs.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;
using synthetic::TemporaryDirectory;

std::unique_ptr<Recorder> open_recorder(const std::filesystem::path& path, RecorderOptions options = {}) {
  auto recorder = Recorder::open(path, synthetic::meta(), control::EngineState{}, std::move(options));
  EXPECT_TRUE(recorder.has_value()) << recorder.error().field << recorder.error().text;
  return recorder ? std::move(*recorder) : nullptr;
}

RecorderOptions recorder_quick() {
  RecorderOptions options;
  options.commit_period = 1ms;
  options.retry_period = 1ms;
  return options;
}

/// Reads everything back and compares it with the synthetic ticks 0..count-1, bit for bit.
void expect_ticks(const std::filesystem::path& path, std::uint64_t count) {
  const auto reader = RecordingReader::open(path);
  ASSERT_TRUE(reader.has_value()) << reader.error().field << reader.error().text;
  std::uint64_t next = 0;
  const auto read = reader->for_each_tick([&](const RecordedTick& found) {
    const RecordedTick expected = synthetic::tick(next);
    EXPECT_EQ(found.seq, next);
    EXPECT_FALSE(first_difference(expected.sample, found.sample).has_value()) << next;
    const auto difference = first_difference(expected.output, found.output);
    EXPECT_FALSE(difference.has_value()) << next << " " << difference->field;
    EXPECT_EQ(found.requests.size(), expected.requests.size());
    for (std::size_t i = 0; i < found.requests.size() && i < expected.requests.size(); ++i)
      EXPECT_FALSE(first_difference(expected.requests[i], found.requests[i]).has_value()) << next;
    ++next;
    return !testing::Test::HasFailure();
  });
  EXPECT_TRUE(read.has_value()) << read.error().field << read.error().text;
  EXPECT_EQ(next, count);
}

TEST(Recorder, GivesBackEveryBit) {
  const TemporaryDirectory directory;
  const auto path = directory / "a.leeward";
  auto recorder = open_recorder(path);

  for (std::uint64_t seq = 0; seq < 1500; ++seq) synthetic::append(*recorder, seq);
  recorder->close(control::RunState::done);

  expect_ticks(path, 1500);
  EXPECT_EQ(recorder->health().dropped, 0U);
  EXPECT_EQ(recorder->health().queue_depth, 0U);
  EXPECT_EQ(recorder->health().last_committed_seq, 1499U);
}

TEST(Recorder, StatesWhatItIsAndWhereTheRunStarts) {
  const TemporaryDirectory directory;
  const RecordingMeta meta = synthetic::meta();
  auto initial = std::make_unique<control::EngineState>();
  initial->zero_flow_pa = -0.0;
  initial->next_ask_id = 42;
  auto recorder = Recorder::open(directory / "a.leeward", meta, *initial);
  ASSERT_TRUE(recorder.has_value());
  (*recorder)->close(control::RunState::stopped);

  const auto reader = RecordingReader::open(directory / "a.leeward");

  ASSERT_TRUE(reader.has_value());
  const auto found = reader->meta();
  ASSERT_TRUE(found.has_value()) << found.error().field;
  EXPECT_EQ(found->run_id, meta.run_id);
  EXPECT_EQ(found->software_version, meta.software_version);
  EXPECT_EQ(found->rig_text, meta.rig_text);
  EXPECT_EQ(found->started_unix_ms, meta.started_unix_ms);
  EXPECT_EQ(found->engine, meta.engine);
  const auto state = reader->initial_state();
  ASSERT_TRUE(state.has_value()) << state.error().field;
  EXPECT_FALSE(first_difference(*initial, *state).has_value());
  EXPECT_EQ(reader->summary()->state, control::RunState::stopped);
  EXPECT_TRUE(reader->summary()->ended);
}

TEST(Recorder, ThatWasNotClosedShowsAnInterruptedRun) {
  const TemporaryDirectory directory;
  auto recorder = open_recorder(directory / "a.leeward");
  for (std::uint64_t seq = 0; seq < 20; ++seq) synthetic::append(*recorder, seq);
  recorder.reset();

  const auto summary = RecordingReader::open(directory / "a.leeward")->summary();

  ASSERT_TRUE(summary.has_value());
  EXPECT_EQ(summary->state, control::RunState::interrupted);
  EXPECT_FALSE(summary->ended);
  EXPECT_EQ(summary->ticks, 20U);
  EXPECT_EQ(summary->last_seq, 19U);
}

TEST(Recorder, NeverWritesOverAFile) {
  const TemporaryDirectory directory;
  open_recorder(directory / "a.leeward");

  const auto second = Recorder::open(directory / "a.leeward", synthetic::meta(), control::EngineState{});

  ASSERT_FALSE(second.has_value());
  EXPECT_EQ(second.error().code, control::Errc::conflict);
}

TEST(Recorder, CommitsAtOnceWhenAStationEnds) {
  const TemporaryDirectory directory;
  RecorderOptions options;
  options.commit_period = 24h;
  auto recorder = open_recorder(directory / "a.leeward", options);
  RecordedTick tick = synthetic::tick(5);
  tick.output.events.clear();
  tick.output.events.push_back({control::EventKind::station_done, 0, 0, 50, 0.1});

  recorder->append(5, tick.sample, {}, tick.output);

  EXPECT_TRUE(synthetic::eventually([&] { return recorder->health().last_committed_seq == 5U; }));
}

TEST(Recorder, CommitsOrdinaryTicksWithinTheSecond) {
  const TemporaryDirectory directory;
  auto recorder = open_recorder(directory / "a.leeward");

  synthetic::append(*recorder, 5);

  EXPECT_TRUE(synthetic::eventually([&] { return recorder->health().last_committed_seq == 5U; }));
  EXPECT_LT(RecorderOptions{}.commit_period, 1s);
}

TEST(Recorder, KeepsSnapshotsInOrderAndTheLastOneStands) {
  const TemporaryDirectory directory;
  auto recorder = open_recorder(directory / "a.leeward");
  auto state = std::make_unique<control::EngineState>();
  for (std::uint64_t seq = 0; seq < 3; ++seq) {
    state->result.r2 = 0.1 * static_cast<double>(seq);
    state->run_state = control::RunState::running;
    synthetic::append(*recorder, seq, state.get());
  }
  recorder->close(control::RunState::done);

  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());
  const auto last = reader->last_snapshot();

  EXPECT_EQ(reader->snapshots()->size(), 3U);
  ASSERT_TRUE(last.has_value() && last->has_value());
  EXPECT_EQ((*last)->seq, 2U);
  EXPECT_EQ((*last)->result.r2, 0.1 * 2.0);
}

TEST(Recorder, CanBeReadWhileItWrites) {
  const TemporaryDirectory directory;
  auto recorder = open_recorder(directory / "a.leeward", recorder_quick());
  for (std::uint64_t seq = 0; seq < 100; ++seq) synthetic::append(*recorder, seq);
  ASSERT_TRUE(synthetic::eventually([&] { return recorder->health().last_committed_seq == 99U; }));

  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());
  EXPECT_EQ(reader->summary()->ticks, 100U);
  for (std::uint64_t seq = 100; seq < 200; ++seq) synthetic::append(*recorder, seq);
  ASSERT_TRUE(synthetic::eventually([&] { return recorder->health().last_committed_seq == 199U; }));

  EXPECT_EQ(reader->ticks_after(99, 1000)->size(), 100U);
  expect_ticks(directory / "a.leeward", 200);
}

TEST(Recorder, StoresNotANumberAsNullAndMinusZeroAsItself) {
  const TemporaryDirectory directory;
  auto recorder = open_recorder(directory / "a.leeward");
  control::StepOutput output;
  output.trace.ln_c = std::numeric_limits<double>::quiet_NaN();
  output.trace.error_pa = -0.0;
  recorder->append(0, {}, {}, output);
  recorder->close(control::RunState::done);

  auto db = Database::open(directory / "a.leeward", Database::Mode::read_only);
  ASSERT_TRUE(db.has_value());

  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM ticks WHERE trace_ln_c IS NULL"), 1);
  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM ticks WHERE trace_error_pa = 0"), 1);
  const auto ticks = RecordingReader::open(directory / "a.leeward")->ticks_after(std::nullopt, 1);
  EXPECT_TRUE(std::signbit(ticks->front().output.trace.error_pa));
}

TEST(Recorder, ExplainsItsColumnsAndNumbers) {
  const TemporaryDirectory directory;
  open_recorder(directory / "a.leeward")->close(control::RunState::done);
  auto db = Database::open(directory / "a.leeward", Database::Mode::read_only);
  ASSERT_TRUE(db.has_value());

  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM columns"),
            static_cast<std::int64_t>(tick_columns(synthetic::kFans).size()));
  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM columns WHERE name = 'sample_building_pressure_pa'"), 1);
  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM columns WHERE name = 'sample_fans2_signal_pa'"), 1);
  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM columns WHERE name LIKE '%fans3%'"), 0);
  EXPECT_EQ(*db->integer_of("SELECT number FROM enums WHERE column_name = 'trace_phase' AND name = 'hold'"),
            10);
  EXPECT_EQ(*db->integer_of("SELECT count(*) FROM pragma_table_info('ticks')"),
            1 + static_cast<std::int64_t>(tick_columns(synthetic::kFans).size()));
}

TEST(Recorder, CountsWhatDoesNotFitAndKeepsTheOldest) {
  const TemporaryDirectory directory;
  FaultyVfs faulty;
  RecorderOptions options = recorder_quick();
  options.keep_s = 0;
  auto recorder = open_recorder(directory / "a.leeward", options);
  FaultyVfs::refuse_all(true, SQLITE_FULL);

  for (std::uint64_t seq = 0; seq < 400; ++seq) synthetic::append(*recorder, seq);

  const std::uint64_t dropped = recorder->health().dropped;
  EXPECT_GT(dropped, 0U);
  FaultyVfs::refuse_all(false, SQLITE_OK);
  recorder->close(control::RunState::done);
  expect_ticks(directory / "a.leeward", 400 - dropped);
}

}  // namespace
}  // namespace leeward::daemon
