// The experiment that finds out what a drive is like, asked for by hand and at the first run of a fan.

#include <gtest/gtest.h>

#include <limits>

#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

control::Request learn_request() {
  control::Request r;
  r.kind = control::RequestKind::learn_drive;
  return r;
}

control::Request told_drive(double slew_s) {
  control::Request r;
  r.kind = control::RequestKind::tell_drive;
  r.drive = {.known = true,
             .slew_s = {slew_s, 0.1},
             .lag_s = {1, 0.1},
             .sensor_lag_s = {0.3, 0.1},
             .signal_lag_s = {0.3, 0.1},
             .offset_frac = {0.04, 0.01},
             .scale = {1, 0.1}};
  return r;
}

TEST(LearnDrive, TheFanIsOffUntilTheCrewHasAnsweredAndTheCountdownIsOver) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.set_crew(false);

  loop.request(learn_request());
  loop.run_for(60);

  EXPECT_EQ(loop.state().phase, control::Phase::baseline);
  ASSERT_EQ(loop.state().asks.size(), 1U);
  EXPECT_EQ(loop.state().asks[0].kind, control::AskKind::cover_fan);
  EXPECT_EQ(loop.state().applied_frac, 0);
}

TEST(LearnDrive, AnyStopEndsItAndTheFanIsOff) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.request(learn_request());
  ASSERT_TRUE(loop.run_until([&] { return loop.state().applied_frac > 0; }, 120));

  control::Request stop;
  stop.kind = control::RequestKind::stop;
  loop.request(stop);
  (void)loop.tick();

  EXPECT_EQ(loop.state().phase, control::Phase::idle);
  EXPECT_EQ(loop.state().applied_frac, 0);
}

TEST(LearnDrive, AFirstRunDoesItBeforeItsLookRoundBelowThatPressure) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  control::EngineConfig config = rig_for(house);
  config.learns_drive = true;
  ClosedLoop loop(house, 3, config);
  loop.request(start(ten_stations(), 400));
  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::learn_drive; }, 300));
  double peak = 0;
  while (loop.state().phase == control::Phase::learn_drive) {
    (void)loop.tick();
    peak = std::max(peak, loop.true_induced_pa());
  }

  EXPECT_EQ(loop.state().phase, control::Phase::look_round);
  EXPECT_GT(peak, 5);
  EXPECT_LT(peak, 10);
  EXPECT_TRUE(loop.run_until([&] { return loop.state().run_state == control::RunState::done; }, 3000));
}

TEST(LearnDrive, WhatIsToldOfADriveIsUsedAndNonsenseIsRefused) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.request(told_drive(5.5));
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::accepted);
  EXPECT_EQ(loop.state().drive.slew_s.value, 5.5);

  loop.request(told_drive(std::numeric_limits<double>::quiet_NaN()));
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::out_of_range);
  EXPECT_EQ(loop.state().drive.slew_s.value, 5.5);
}

TEST(LearnDrive, RunsThroughTheEngineAgainBitForBit) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  ClosedLoop one(house, 3);
  ClosedLoop other(house, 3);
  for (ClosedLoop* loop : {&one, &other}) {
    loop->request(learn_request());
    loop->run_for(90);
    loop->request(told_drive(5.5));
    loop->run_for(1);
  }

  EXPECT_EQ(one.state(), other.state());
}

}  // namespace
}  // namespace leeward::bench
