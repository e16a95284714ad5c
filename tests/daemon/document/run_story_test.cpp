#include "daemon/document/run_story.hpp"

#include <gtest/gtest.h>

#include <memory>

#include "daemon/document/report_data.hpp"
#include "daemon/recorder/recorder.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

using control::Event;
using control::EventKind;
using control::Phase;
using synthetic::TemporaryDirectory;

constexpr auto kChecklist = static_cast<std::int64_t>(control::AskKind::checklist);

/// A recording written tick by tick, 0.1 s apart.
class StoryWriter {
 public:
  explicit StoryWriter(const std::filesystem::path& path) {
    auto recorder = Recorder::open(path, synthetic::meta(), control::EngineState{});
    if (recorder) recorder_ = std::move(*recorder);
  }
  void tick(Phase phase, double pressure_pa, std::vector<Event> events = {},
            std::vector<control::Request> requests = {}) {
    control::Sample sample;
    sample.stamp_ns = 5'000'000'000 + static_cast<std::int64_t>(seq_) * 100'000'000;
    control::StepOutput output;
    output.trace.phase = phase;
    output.trace.pressure_good = true;
    output.trace.pressure_signed_pa = pressure_pa;
    for (const Event& event : events) output.events.push_back(event);
    for (std::size_t i = 0; i < requests.size(); ++i) output.refusals.push_back(control::Refusal::accepted);
    recorder_->append(seq_++, sample, requests, output);
  }
  void close(control::RunState state) { recorder_->close(state); }

 private:
  std::unique_ptr<Recorder> recorder_;
  std::uint64_t seq_ = 0;
};

control::Request story_start() {
  control::Request request;
  request.kind = control::RequestKind::start_run;
  request.run.procedure.id = "steady";
  request.run.procedure.checklist.push_back("Windows closed.");
  request.run.procedure.checklist.push_back("Hood sealed.");
  request.run.procedure.restore.push_back("Seals out.");
  request.run.building.name = "Demo house, invented";
  return request;
}

void write_story(StoryWriter& writer) {
  writer.tick(Phase::prepare, -1,
              {{EventKind::ask_opened, 4, kChecklist}, {EventKind::ask_opened, 5, kChecklist}},
              {story_start()});
  writer.tick(Phase::prepare, -1,
              {{EventKind::ask_answered, 5, static_cast<std::int64_t>(control::Answer::not_applicable)}});
  writer.tick(Phase::baseline, -2, {{EventKind::sample_gap, 3}});
  writer.tick(Phase::stations, -50, {{EventKind::sample_gap, 2}});
  writer.tick(
      Phase::tripped, -60,
      {{EventKind::tripped, static_cast<std::int64_t>(control::TripCause::over_pressure), 0, 81, 80}});
  writer.tick(Phase::restore, 0, {{EventKind::ask_opened, 6, kChecklist}});
  writer.tick(Phase::restore, 0,
              {{EventKind::ask_answered, 6, static_cast<std::int64_t>(control::Answer::done)}});
}

TEST(RunStory, TellsAnswersPhasesGapsAndTheTrip) {
  const TemporaryDirectory directory;
  StoryWriter writer(directory / "a.leeward");
  write_story(writer);
  writer.close(control::RunState::tripped);

  const auto story = read_story(*RecordingReader::open(directory / "a.leeward"));

  ASSERT_TRUE(story.has_value());
  ASSERT_EQ(story->preparation.size(), 2U);
  EXPECT_EQ(story->preparation[0].answer, "not answered");
  EXPECT_EQ(story->preparation[1].answer, "not applicable");
  EXPECT_EQ(story->restore[0].answer, "done");
  ASSERT_EQ(story->phases.size(), 5U);
  EXPECT_EQ(story->phases[1].phase, Phase::baseline);
  EXPECT_NEAR(story->phases[1].begin_s, 0.2, 1e-9);
  EXPECT_NEAR(story->phases[1].end_s, 0.3, 1e-9);
  EXPECT_NEAR(story->duration_s, 0.6, 1e-9);
  ASSERT_TRUE(story->trip.has_value());
  EXPECT_EQ(story->trip->cause, control::TripCause::over_pressure);
  ASSERT_EQ(story->events.size(), 1U);
  EXPECT_EQ(story->events[0].event.a, 5);  // periods of both gaps
  EXPECT_EQ(story->events[0].count, 2);
}

TEST(ReportData, KnowsARunThatLeftNoAverages) {
  const TemporaryDirectory directory;
  StoryWriter writer(directory / "a.leeward");
  write_story(writer);
  writer.close(control::RunState::tripped);

  const auto data = read_report_data(directory / "a.leeward");

  ASSERT_TRUE(data.has_value());
  EXPECT_TRUE(data->is_test);
  EXPECT_EQ(data->state, control::RunState::tripped);
  EXPECT_EQ(data->record.building.name.view(), "Demo house, invented");
  EXPECT_FALSE(data->hash.has_journal);
  EXPECT_FALSE(counts_as_result(*data));
}

TEST(ReportData, KnowsTheEndOfARunWhoseRecordingIsStillOpen) {
  const TemporaryDirectory directory;
  StoryWriter writer(directory / "a.leeward");
  writer.tick(Phase::hold, -10,
              {{EventKind::run_ended, static_cast<std::int64_t>(control::RunState::stopped)}});

  const auto read = [&] { return read_report_data(directory / "a.leeward"); };
  ASSERT_TRUE(synthetic::eventually([&] { return read()->state == control::RunState::stopped; }));

  EXPECT_FALSE(read()->is_test);
  EXPECT_TRUE(read()->hash.has_journal);
  writer.close(control::RunState::stopped);
  EXPECT_EQ(read()->state, control::RunState::stopped);
}

}  // namespace
}  // namespace leeward::daemon
