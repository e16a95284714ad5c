#include "daemon/report/run_left.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {
control::EngineState left_state(control::Phase phase) {
  control::EngineState state;
  state.run_state = control::RunState::running;
  state.phase = phase;
  state.run.procedure.id = "some";
  state.run.procedure.baseline_s = 30;
  state.run.procedure.look_round_min_s = 10;
  state.run.procedure.look_round_pa = 10;
  state.run.procedure.climb_rate_pa_s = 1;
  state.run.procedure.station_settle_s = 4;
  state.run.procedure.station_average_s = 20;
  for (const double pa : {50.0, 40.0}) state.run.procedure.stations_pa.push_back(pa);
  return state;
}
}  // namespace

TEST(RunLeft, IsNotKnownWithoutARun) {
  control::EngineState state = left_state(control::Phase::stations);
  state.run_state = control::RunState::done;

  EXPECT_FALSE(run_left_s(state, 3).has_value());
}

TEST(RunLeft, AddsUpWhatIsPlanned) {
  // 30 zero flow, 10 look-round, 40 climb, two stations of 6 + 4 + 20, 30 zero flow again
  EXPECT_DOUBLE_EQ(*run_left_s(left_state(control::Phase::prepare), 0), 30 + 10 + 40 + 60 + 30);
  EXPECT_DOUBLE_EQ(*run_left_s(left_state(control::Phase::look_round), 0), 40 + 60 + 30);
  control::EngineState both = left_state(control::Phase::prepare);
  both.run.direction = control::DirectionChoice::both;
  EXPECT_DOUBLE_EQ(*run_left_s(both, 0), 2 * 170);
}

TEST(RunLeft, TakesTheEnginesPlanOfAReadingWhereThereIsOne) {
  control::EngineState state = left_state(control::Phase::stations);
  state.sequencer.station = 1;

  EXPECT_DOUBLE_EQ(*run_left_s(state, 7), 7 + 30);
  state.sequencer.step_s = 5;
  EXPECT_DOUBLE_EQ(*run_left_s(state, 0), 25 + 30);
}

TEST(RunLeft, CountsTheClosingBaselineDown) {
  control::EngineState state = left_state(control::Phase::closing_baseline);
  state.sequencer.phase_s = 12;

  EXPECT_DOUBLE_EQ(*run_left_s(state, 0), 18);
  state.sequencer.phase_s = 99;
  EXPECT_DOUBLE_EQ(*run_left_s(state, 0), 0);
}

}  // namespace leeward::daemon
