#include "daemon/service/control_loop.hpp"

#include <sqlite3.h>

#include <fstream>

#include "daemon/recorder/engine_step.hpp"
#include "daemon/recorder/replay.hpp"
#include "tests/daemon/recorder/faulty_vfs.hpp"
#include "tests/daemon/service/loop_fixture.hpp"

namespace leeward::daemon {
namespace {
using control::Drive;
using control::Phase;
using control::Refusal;
using control::RequestKind;
using control::RunState;
}  // namespace

class ControlLoopTicks : public LoopFixture {};

TEST_F(ControlLoopTicks, TheFanIsOffAfterTheStartAndEveryTickIsPublished) {
  EXPECT_EQ(loop_->snapshot()->ticks, 0);

  tick(5);

  ASSERT_EQ(device_.written.size(), 5U);
  for (const control::Command& command : device_.written) EXPECT_EQ(command.fans[0].drive, Drive::off);
  ASSERT_EQ(published_.size(), 5U);
  EXPECT_TRUE(is_found_when_heard_);
  EXPECT_EQ(loop_->snapshot()->ticks, 5);
  EXPECT_EQ(phase(), Phase::idle);
}

TEST_F(ControlLoopTicks, WhatTheEngineRefusesIsAnsweredAndNotRecorded) {
  control::Request hold = make(RequestKind::hold);
  hold.target_pa = 5;
  tick(3);

  const SubmitOutcome outcome = outcome_of(hold);

  EXPECT_EQ(outcome.status, SubmitStatus::stepped);
  EXPECT_EQ(outcome.refusal, Refusal::no_baseline);
  EXPECT_EQ(outcome.phase, Phase::idle);
  EXPECT_TRUE(runs().empty());
}

TEST_F(ControlLoopTicks, ABaselineIsRecordedFromBeforeItBeginsAndReplaysBitForBit) {
  tick(3);

  const SubmitOutcome outcome = outcome_of(baseline(10));
  ASSERT_TRUE(outcome.accepted());
  EXPECT_EQ(phase(), Phase::baseline);
  EXPECT_FALSE(outcome.run_id.empty());
  tick_until([this] { return phase() == Phase::idle; });
  EXPECT_TRUE(loop_->snapshot()->state.has_zero_flow);
  keeper_->finish();

  const auto reader = RecordingReader::open(RunStore::open(folder_ / "runs")->path_of(outcome.run_id));
  ASSERT_TRUE(reader.has_value());
  EXPECT_EQ(reader->initial_state()->phase, Phase::idle);
  EXPECT_TRUE(reader->summary()->ended);
  EXPECT_EQ(reader->summary()->state, RunState::done);
  const auto report = replay(*reader, engine_step_maker());
  ASSERT_TRUE(report.has_value()) << report.error().text;
  EXPECT_TRUE(report->same()) << report->first_difference->field;
  EXPECT_GE(report->ticks, 100U);
}

TEST_F(ControlLoopTicks, ARunGetsAnIdAndTheCrewIsToldWhatWasAnswered) {
  const SubmitOutcome started = outcome_of(start_run());
  ASSERT_TRUE(started.accepted()) << static_cast<int>(started.refusal);
  EXPECT_EQ(loop_->snapshot()->run_id, started.run_id);
  EXPECT_TRUE(loop_->snapshot()->is_run);
  EXPECT_EQ(loop_->snapshot()->recording, RecordingState::recording);
  ASSERT_FALSE(loop_->snapshot()->state.asks.empty());

  control::Request answer = make(RequestKind::answer);
  answer.ask_id = loop_->snapshot()->state.asks[0].id;
  answer.answer = control::Answer::done;
  EXPECT_TRUE(outcome_of(answer).accepted());

  ASSERT_EQ(device_.done.size(), 1U);
  EXPECT_EQ(device_.done[0].id, answer.ask_id);
  EXPECT_GE(device_.wakes, 1);
}

TEST_F(ControlLoopTicks, AnAnswerOtherThanDoneIsNoDeedOfTheCrew) {
  ASSERT_TRUE(outcome_of(start_run()).accepted());
  control::Request answer = make(RequestKind::answer);
  answer.ask_id = loop_->snapshot()->state.asks[0].id;
  answer.answer = control::Answer::not_applicable;

  EXPECT_TRUE(outcome_of(answer).accepted());

  EXPECT_TRUE(device_.done.empty());
}

TEST_F(ControlLoopTicks, TheRunStateFollowsTheRecordingThatIsOpen) {
  EXPECT_EQ(run_state_of(*loop_->snapshot()), RunState::none);
  ASSERT_TRUE(outcome_of(start_run()).accepted());
  EXPECT_EQ(run_state_of(*loop_->snapshot()), RunState::running);
  ASSERT_TRUE(outcome_of(make(RequestKind::stop)).accepted());
  EXPECT_EQ(run_state_of(*loop_->snapshot()), RunState::stopped);

  const SubmitOutcome by_hand = outcome_of(baseline(10));
  ASSERT_TRUE(by_hand.accepted());
  EXPECT_EQ(loop_->snapshot()->run_id, by_hand.run_id);
  EXPECT_EQ(run_state_of(*loop_->snapshot()), RunState::running);
  tick_until([this] { return phase() != Phase::baseline; });

  EXPECT_EQ(run_state_of(*loop_->snapshot()), RunState::done);
}

TEST_F(ControlLoopTicks, ARunBeganWhenItsRecordingSaysSo) {
  tick(25);
  ASSERT_TRUE(outcome_of(start_run()).accepted());

  const std::int64_t started_unix_ms = loop_->snapshot()->started_unix_ms;

  loop_->stop_and_leave();
  loop_->run();
  ASSERT_EQ(runs().size(), 1U);
  EXPECT_EQ(runs()[0].started_unix_ms, started_unix_ms);
}

TEST_F(ControlLoopTicks, WhetherAFanIsCoveredIsToldOnlyByTheCrew) {
  ASSERT_TRUE(outcome_of(start_run()).accepted());
  const auto answer_all = [this](control::AskKind kind) {
    for (const control::Ask& ask : loop_->snapshot()->state.asks) {
      if (ask.kind != kind) continue;
      control::Request answer = make(RequestKind::answer);
      answer.ask_id = ask.id;
      answer.answer = control::Answer::done;
      EXPECT_TRUE(outcome_of(answer).accepted());
      tick(1);
    }
  };
  answer_all(control::AskKind::checklist);
  tick_until([this] { return phase() == Phase::baseline; });
  EXPECT_FALSE(loop_->snapshot()->is_cover_told[0]);

  answer_all(control::AskKind::cover_fan);

  EXPECT_TRUE(loop_->snapshot()->is_cover_told[0]);
  EXPECT_TRUE(loop_->snapshot()->state.fans[0].covered);
}

TEST_F(ControlLoopTicks, ASecondStartIsBusy) {
  ASSERT_TRUE(outcome_of(start_run()).accepted());

  const SubmitOutcome second = outcome_of(start_run());

  EXPECT_EQ(second.refusal, Refusal::busy);
  EXPECT_EQ(runs().size(), 1U);
}

TEST_F(ControlLoopTicks, AStopOvertakesAStartThatWaitsForItsRecording) {
  std::optional<SubmitOutcome> start;
  std::optional<SubmitOutcome> stop;
  loop_->submit(start_run(), [&start](const SubmitOutcome& outcome) { start = outcome; });
  tick(1);
  ASSERT_FALSE(start.has_value());
  loop_->submit(make(RequestKind::stop), [&stop](const SubmitOutcome& outcome) { stop = outcome; });
  tick(1);

  // The file may have been made within that one tick; then the start was stepped before the stop.
  ASSERT_TRUE(start.has_value());
  ASSERT_TRUE(stop.has_value());
  tick_until([this] { return loop_->snapshot()->state.run_state != RunState::running; });
  for (const control::Command& command : device_.written) EXPECT_NE(command.fans[0].drive, Drive::drive);
  keeper_->finish();
  EXPECT_LE(runs().size(), 1U);
}

TEST_F(ControlLoopTicks, AStopDropsWhatWasAskedBeforeItAndWakesTheDevice) {
  std::optional<SubmitOutcome> before;
  std::optional<SubmitOutcome> stop;
  loop_->submit(baseline(10), [&before](const SubmitOutcome& outcome) { before = outcome; });
  loop_->submit(make(RequestKind::stop), [&stop](const SubmitOutcome& outcome) { stop = outcome; });

  ASSERT_TRUE(before.has_value());
  EXPECT_EQ(before->status, SubmitStatus::overtaken);
  EXPECT_EQ(device_.wakes, 1);
  tick(1);
  ASSERT_TRUE(stop.has_value());
  EXPECT_EQ(stop->status, SubmitStatus::stepped);
}

TEST_F(ControlLoopTicks, AnExtraTickKeepsTheReadingsOfTheOneBefore) {
  tick(3);
  const auto before = loop_->snapshot()->sample;

  (void)outcome_of(make(RequestKind::stop));

  EXPECT_EQ(loop_->snapshot()->sample, before);
}

TEST_F(ControlLoopTicks, WithoutARecordingNothingStarts) {
  std::ofstream(folder_ / "file") << "in the way";
  build(folder_ / "file");

  const SubmitOutcome outcome = outcome_of(start_run());

  EXPECT_EQ(outcome.status, SubmitStatus::recording_failed);
  EXPECT_FALSE(outcome.detail.empty());
  EXPECT_EQ(phase(), Phase::idle);
}

TEST_F(ControlLoopTicks, ARecordingThatBreaksOffEndsTheRunInOrder) {
  const FaultyVfs vfs;
  for (const int code : {SQLITE_FULL, SQLITE_IOERR_WRITE, SQLITE_READONLY}) {
    const SubmitOutcome started = outcome_of(start_run());
    ASSERT_TRUE(started.accepted()) << started.detail;
    EXPECT_EQ(loop_->snapshot()->recording_fault, RecordingFault::none);

    FaultyVfs::refuse_all(true, code);
    tick_until([this] { return loop_->snapshot()->state.run_state == RunState::stopped; });

    EXPECT_EQ(loop_->snapshot()->recording, RecordingState::failed);
    EXPECT_EQ(loop_->snapshot()->recording_fault,
              code == SQLITE_FULL ? RecordingFault::disk_full : RecordingFault::disk_refuses);
    EXPECT_EQ(device_.written.back().fans[0].drive, Drive::off);
    FaultyVfs::refuse_all(false, code);
  }
  loop_.reset();
  keeper_.reset();  // its connection goes before the file layer
}

TEST_F(ControlLoopTicks, ADiskThatHangsDelaysNoTickAndEndsTheRunInOrder) {
  const FaultyVfs vfs;
  const SubmitOutcome started = outcome_of(start_run());
  ASSERT_TRUE(started.accepted()) << started.detail;

  FaultyVfs::hold_syncs(true);
  tick_until([this] { return loop_->snapshot()->state.run_state == RunState::stopped; });

  EXPECT_EQ(loop_->snapshot()->recording, RecordingState::failed);
  EXPECT_EQ(loop_->snapshot()->recording_fault, RecordingFault::disk_slow);
  EXPECT_GT(loop_->snapshot()->recorder_backlog, 0U);
  EXPECT_EQ(device_.written.back().fans[0].drive, Drive::off);
  FaultyVfs::hold_syncs(false);
  loop_.reset();
  keeper_.reset();  // its connection goes before the file layer
}

TEST_F(ControlLoopTicks, LeavingStopsTheRunSwitchesOffAndClosesTheRecording) {
  const SubmitOutcome started = outcome_of(start_run());
  ASSERT_TRUE(started.accepted());

  loop_->stop_and_leave();
  loop_->run();

  EXPECT_TRUE(device_.is_shut_down);
  EXPECT_EQ(device_.written.back().fans[0].drive, Drive::off);
  ASSERT_EQ(runs().size(), 1U);
  EXPECT_EQ(runs()[0].state, RunState::stopped);
  const auto late = outcome_of(make(RequestKind::stop));
  EXPECT_EQ(late.status, SubmitStatus::shutting_down);
}

TEST_F(ControlLoopTicks, AnswersGoThroughPostWhereThereIsOne) {
  loop_.reset();
  std::vector<std::function<void()>> posted;
  LoopOptions options;
  options.post = [&posted](std::function<void()> job) { posted.push_back(std::move(job)); };
  ControlLoop loop(*engine_, device_, *keeper_, std::move(options));
  bool is_answered = false;

  loop.submit(make(RequestKind::stop), [&is_answered](const SubmitOutcome&) { is_answered = true; });
  (void)loop.tick();

  EXPECT_FALSE(is_answered);
  ASSERT_EQ(posted.size(), 1U);
  posted[0]();
  EXPECT_TRUE(is_answered);
}

}  // namespace leeward::daemon
