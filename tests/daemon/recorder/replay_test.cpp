#include "daemon/recorder/replay.hpp"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <memory>

#include "daemon/recorder/recorder.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using synthetic::TemporaryDirectory;

/// A stand-in for the engine: a pure function whose output depends on all that came before.
control::StepOutput replay_step(control::EngineState& state, const control::Sample& sample,
                                std::span<const control::Request> requests) {
  state.now_ns = sample.stamp_ns;
  state.zero_flow_pa = 0.9 * state.zero_flow_pa + 0.1 * sample.building_pressure_pa.value;
  for (const control::Request& request : requests) state.target_pa = request.target_pa;
  control::StepOutput output;
  output.trace.stamp_ns = sample.stamp_ns;
  output.trace.zero_flow_pa = state.zero_flow_pa;
  output.trace.target_pa = state.target_pa;
  output.trace.error_pa = -0.0 * state.target_pa;
  output.command.fans[0] = {control::Drive::drive, 0.5 + 1e-3 * state.zero_flow_pa};
  for (std::size_t i = 0; i < requests.size(); ++i) output.refusals.push_back(control::Refusal::accepted);
  if (!requests.empty())
    output.events.push_back({control::EventKind::hold_started, 0, 0, state.target_pa, 1});
  state.result.r2 = state.zero_flow_pa;
  return output;
}

control::Sample replay_sample(std::uint64_t seq) {
  control::Sample sample;
  sample.stamp_ns = static_cast<std::int64_t>(seq) * 100000000;
  sample.building_pressure_pa = {std::sin(0.1 * static_cast<double>(seq)), sample.stamp_ns,
                                 control::Quality::good};
  return sample;
}

/// Records 1200 ticks of the stand-in, a request every 100, a snapshot at the end. Leaves out `hole`.
void replay_record(const std::filesystem::path& path, std::optional<std::uint64_t> hole = std::nullopt) {
  auto state = std::make_unique<control::EngineState>();
  state->zero_flow_pa = 3;
  auto recorder = Recorder::open(path, synthetic::meta(), *state);
  ASSERT_TRUE(recorder.has_value());
  for (std::uint64_t seq = 7; seq < 1207; ++seq) {
    std::vector<control::Request> requests;
    if (seq % 100 == 0) requests.emplace_back().target_pa = static_cast<double>(seq) * 0.1;
    const auto sample = replay_sample(seq);
    const auto output = replay_step(*state, sample, requests);
    if (seq != hole) (*recorder)->append(seq, sample, requests, output, seq == 1206 ? state.get() : nullptr);
  }
  (*recorder)->close(control::RunState::done);
}

StepMaker replay_maker(StepFunction step) {
  return [step](const control::EngineConfig&) { return step; };
}

TEST(Replay, OfTheSameFunctionFindsNoDifference) {
  const TemporaryDirectory directory;
  replay_record(directory / "a.leeward");
  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());

  const auto report = replay(*reader, replay_maker(replay_step));

  ASSERT_TRUE(report.has_value()) << report.error().field << report.error().text;
  EXPECT_TRUE(report->same()) << report->first_difference->field;
  EXPECT_EQ(report->ticks, 1200U);
  EXPECT_EQ(report->snapshots, 1U);
  EXPECT_EQ(report->largest_result_relative, 0.0);
}

TEST(Replay, NamesTheFirstDifferenceAndGoesOnToTheResult) {
  const TemporaryDirectory directory;
  replay_record(directory / "a.leeward");
  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());
  const auto other = [](control::EngineState& state, const control::Sample& sample,
                        std::span<const control::Request> requests) {
    auto output = replay_step(state, sample, requests);
    if (sample.stamp_ns >= 50000000000) state.zero_flow_pa *= 1 + 1e-11;
    return output;
  };

  const auto report = replay(*reader, replay_maker(other));

  ASSERT_TRUE(report.has_value());
  ASSERT_FALSE(report->same());
  EXPECT_EQ(report->first_difference->seq, 501U);
  EXPECT_DOUBLE_EQ(report->first_difference->engine_time_s, 50.1);
  EXPECT_EQ(report->first_difference->field, "command.fans[0].demand_frac");
  EXPECT_NE(report->first_difference->recorded, report->first_difference->replayed);
  EXPECT_EQ(report->ticks, 1200U);
  EXPECT_LT(report->largest_result_relative, 1e-9);
}

TEST(Replay, ComparesTheStoredResult) {
  const TemporaryDirectory directory;
  replay_record(directory / "a.leeward");
  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());
  const auto other = [](control::EngineState& state, const control::Sample& sample,
                        std::span<const control::Request> requests) {
    auto output = replay_step(state, sample, requests);
    state.result.r2 *= 1.5;
    return output;
  };

  const auto report = replay(*reader, replay_maker(other));

  ASSERT_TRUE(report.has_value());
  ASSERT_FALSE(report->same());
  EXPECT_EQ(report->first_difference->field, "result.r2");
  EXPECT_NEAR(report->largest_result_relative, 1.0 / 3.0, 1e-12);
}

TEST(Replay, GoesUpToWhereARecordingIsDamaged) {
  const TemporaryDirectory directory;
  const auto whole = directory / "whole.leeward";
  replay_record(whole);
  constexpr std::uintmax_t page = 4096;
  const std::uintmax_t pages = std::filesystem::file_size(whole) / page;
  std::size_t broken = 0;
  for (std::uintmax_t at = 1; at < pages; at += 1 + pages / 24) {
    const auto path = directory / ("cut-" + std::to_string(at) + ".leeward");
    std::filesystem::copy_file(whole, path);
    std::fstream(path, std::ios::in | std::ios::out | std::ios::binary)
        .seekp(static_cast<std::streamoff>(at * page))
        .write(std::string(page, '\x5a').data(), page);
    const auto reader = RecordingReader::open(path);
    if (!reader) continue;
    const auto report = replay(*reader, replay_maker(replay_step));
    if (!report || !report->broken_after_seq) continue;
    EXPECT_TRUE(report->same()) << at;
    EXPECT_LT(report->ticks, 1200U) << at;
    EXPECT_EQ(report->broken_after_seq, report->ticks + 6) << at;
    ++broken;
  }
  EXPECT_GT(broken, 0U) << "of " << pages << " pages";
}

TEST(Replay, RefusesARecordingWithAHole) {
  const TemporaryDirectory directory;
  replay_record(directory / "a.leeward", 600);
  const auto reader = RecordingReader::open(directory / "a.leeward");
  ASSERT_TRUE(reader.has_value());

  const auto report = replay(*reader, replay_maker(replay_step));

  ASSERT_FALSE(report.has_value());
  EXPECT_EQ(report.error().text, "has a hole after seq 599");
}

}  // namespace
}  // namespace leeward::daemon
