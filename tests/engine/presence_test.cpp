// What becomes of a run that asks for a sign of life from its crew, through the whole engine. Time is moved
// by hand: nothing here waits.
#include <gtest/gtest.h>

#include <limits>

#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

using control::EventKind;
using control::PresenceStage;
using control::RequestKind;

constexpr double kInterval = 60;

control::Request watched(double interval_s = kInterval) {
  control::Request r = start(ten_stations(), 400);
  r.run.procedure.station_average_s = 600;
  r.run.presence_s = interval_s;
  return r;
}

control::Request of(RequestKind kind) {
  control::Request r;
  r.kind = kind;
  return r;
}

const control::Event* find(const ClosedLoop& loop, EventKind kind) {
  for (const control::Event& e : loop.events())
    if (e.kind == kind) return &e;
  return nullptr;
}

class EnginePresence : public testing::Test {
 protected:
  /// At the first station, averaging for longer than anything here takes; the crew falls silent.
  void reach_the_stations(double interval_s = kInterval) {
    loop_.request(watched(interval_s));
    ASSERT_TRUE(loop_.run_until(
        [&] {
          if (loop_.state().presence.silent_s > 20) loop_.request(of(RequestKind::still_here));
          return loop_.state().phase == control::Phase::stations && loop_.state().induced_pa > 58;
        },
        600));
    loop_.drop_requests();
    loop_.set_crew(false);
    tap();
  }

  void tap() { send(RequestKind::still_here); }
  control::Refusal send(RequestKind kind) {
    loop_.request(of(kind));
    return loop_.tick().refusals[0];
  }

  bool driven() { return loop_.tick().command.fans[0].drive == control::Drive::drive; }
  const control::EngineState& s() const { return loop_.state(); }

  ClosedLoop loop_{calm_house(4, 400, 0.65), 3};
};

TEST_F(EnginePresence, ARunWithoutItGoesOnAlone) {
  reach_the_stations(0);
  loop_.run_for(300);

  EXPECT_EQ(s().phase, control::Phase::stations);
  EXPECT_EQ(s().presence, control::PresenceState{});
  EXPECT_GT(s().induced_pa, 55);
}

TEST_F(EnginePresence, WarnsAtFourFifths) {
  reach_the_stations();
  loop_.run_for(47);
  EXPECT_EQ(find(loop_, EventKind::presence_due), nullptr);
  loop_.run_for(2);

  ASSERT_NE(find(loop_, EventKind::presence_due), nullptr);
  EXPECT_NEAR(find(loop_, EventKind::presence_due)->x, 0.2 * kInterval, 0.11);
}

TEST_F(EnginePresence, TakesThePressureDownSlowlyWithoutASignOfLife) {
  reach_the_stations();
  loop_.run_for(59.5);
  EXPECT_EQ(find(loop_, EventKind::presence_lowered), nullptr);
  ASSERT_TRUE(loop_.run_until([&] { return s().presence.stage == PresenceStage::lowered; }, 1));
  double before_pa = loop_.tick().trace.reference_pa;
  while (s().induced_pa > 10.5) {
    const double now_pa = loop_.tick().trace.reference_pa;
    // One tick's worth of the procedure's climb rate, 1 Pa/s.
    ASSERT_LE(before_pa - now_pa, 0.1 + 1e-6);
    before_pa = now_pa;
    ASSERT_LT(s().presence.silent_s, 118) << "never got down";
  }

  ASSERT_NE(find(loop_, EventKind::presence_lowered), nullptr);
  EXPECT_EQ(find(loop_, EventKind::presence_lowered)->y, 10);
  EXPECT_EQ(s().target_pa, 10);
  EXPECT_TRUE(s().sequencer.paused);
  EXPECT_EQ(s().run_state, control::RunState::running);
  EXPECT_TRUE(driven());
}

TEST_F(EnginePresence, TurnsTheFanOffAfterASecondInterval) {
  reach_the_stations();
  ASSERT_TRUE(loop_.run_until([&] { return s().presence.silent_s > 2 * kInterval - 0.5; }, 125));
  ASSERT_TRUE(driven());
  loop_.run_for(1.5);

  EXPECT_EQ(s().run_state, control::RunState::tripped);
  EXPECT_EQ(s().guard.trip.cause, control::TripCause::no_sign_of_life);
  EXPECT_NEAR(s().guard.trip.seen, 2 * kInterval, 0.11);
  EXPECT_EQ(s().guard.trip.limit, 2 * kInterval);
  EXPECT_EQ(s().applied_frac, 0);
  EXPECT_FALSE(driven());
}

TEST_F(EnginePresence, GoesOnAsLongAsSomebodyTaps) {
  reach_the_stations();
  for (int k = 0; k < 6; ++k) {
    loop_.run_for(50);
    tap();
  }

  EXPECT_EQ(s().phase, control::Phase::stations);
  EXPECT_GT(s().induced_pa, 55);
  EXPECT_EQ(find(loop_, EventKind::presence_lowered), nullptr);
}

TEST_F(EnginePresence, TakesAnAnswerThatComesTooLateForASignToo) {
  reach_the_stations();
  loop_.run_for(50);
  control::Request again = of(RequestKind::answer);
  again.ask_id = 1;
  again.answer = control::Answer::done;
  loop_.request(again);

  EXPECT_EQ(loop_.tick().refusals[0], control::Refusal::ask_answered);
  EXPECT_LT(s().presence.silent_s, 1);
}

TEST_F(EnginePresence, TakesNoRefusedStartForASign) {
  reach_the_stations();
  loop_.run_for(50);
  loop_.request(watched());
  (void)loop_.tick();

  EXPECT_GT(s().presence.silent_s, 49);
}

TEST_F(EnginePresence, NeverComesBackUpByItself) {
  reach_the_stations();
  loop_.run_for(110);
  ASSERT_EQ(s().presence.stage, PresenceStage::lowered);
  double peak_pa = 0;
  for (int k = 0; k < 20; ++k) {
    tap();
    for (int t = 0; t < 200; ++t) {
      (void)loop_.tick();
      peak_pa = std::max(peak_pa, s().induced_pa);
    }
  }

  EXPECT_NE(find(loop_, EventKind::presence_back), nullptr);
  EXPECT_EQ(s().presence.stage, PresenceStage::back);
  EXPECT_EQ(s().run_state, control::RunState::running);
  EXPECT_LT(peak_pa, 12);
}

TEST_F(EnginePresence, TurnsTheFanOffWhereWhoCameBackIsSilentAgain) {
  reach_the_stations();
  loop_.run_for(110);
  tap();
  loop_.run_for(59);
  EXPECT_EQ(s().run_state, control::RunState::running);
  loop_.run_for(2);

  EXPECT_EQ(s().guard.trip.cause, control::TripCause::no_sign_of_life);
}

TEST_F(EnginePresence, ClimbsAgainAtTheProceduresRateOnceTheCrewSaysSo) {
  reach_the_stations();
  loop_.run_for(110);
  ASSERT_EQ(send(RequestKind::resume), control::Refusal::accepted);
  EXPECT_EQ(s().presence.stage, PresenceStage::here);
  double before_pa = loop_.tick().trace.reference_pa;
  double fastest_pa_s = 0;
  for (int k = 0; k < 550; ++k) {
    const double now_pa = loop_.tick().trace.reference_pa;
    fastest_pa_s = std::max(fastest_pa_s, (now_pa - before_pa) / 0.1);
    before_pa = now_pa;
  }

  EXPECT_NEAR(fastest_pa_s, 1, 1e-6);
  EXPECT_NEAR(s().induced_pa, 60, 2);
  EXPECT_EQ(s().phase, control::Phase::stations);
}

TEST_F(EnginePresence, MeasuresTheBrokenStationAnewAndFinishesTheRun) {
  control::Request run = watched(30);
  run.run.procedure.station_average_s = 20;
  loop_.request(run);
  ASSERT_TRUE(loop_.run_until(
      [&] {
        if (s().presence.silent_s > 20) loop_.request(of(RequestKind::still_here));
        return s().phase == control::Phase::stations && s().sequencer.station == 3 &&
               s().sequencer.averages.elapsed_s > 10;
      },
      900));
  ASSERT_TRUE(loop_.run_until([&] { return s().presence.stage == PresenceStage::lowered; }, 40));
  loop_.run_for(20);
  const std::size_t stations = s().record.directions[0].stations.size();
  ASSERT_EQ(send(RequestKind::resume), control::Refusal::accepted);
  ASSERT_TRUE(loop_.run_until(
      [&] {
        if (s().presence.silent_s > 20) loop_.request(of(RequestKind::still_here));
        return s().phase == control::Phase::result;
      },
      1500));

  EXPECT_LT(stations, 11U);
  EXPECT_EQ(s().record.directions[0].stations.size(), 11U);
  EXPECT_TRUE(s().result.valid);
}

TEST_F(EnginePresence, CountsNothingWhileHandsAreAtTheFan) {
  loop_.request(watched());
  ASSERT_TRUE(loop_.run_until([&] { return s().phase == control::Phase::uncover; }, 300));
  loop_.set_crew(false);
  loop_.drop_requests();
  loop_.run_for(1000);

  EXPECT_EQ(s().phase, control::Phase::uncover);
  EXPECT_EQ(s().presence.silent_s, 0);
  EXPECT_EQ(s().run_state, control::RunState::running);
}

TEST_F(EnginePresence, TakesTheAnswerToTheLookRoundForTheWordToGoOn) {
  loop_.request(watched());
  ASSERT_TRUE(loop_.run_until(
      [&] { return !s().asks.empty() && s().asks[0].kind == control::AskKind::look_round; }, 300));
  loop_.set_crew(false);
  loop_.drop_requests();
  ASSERT_TRUE(loop_.run_until([&] { return s().presence.stage == PresenceStage::lowered; }, 90));
  ASSERT_EQ(s().phase, control::Phase::look_round);
  loop_.set_crew(true);

  EXPECT_TRUE(loop_.run_until([&] { return s().phase == control::Phase::climb; }, 30));
  EXPECT_EQ(s().presence.stage, PresenceStage::here);
}

TEST_F(EnginePresence, HoldsAPauseByHandNoHigherThanTheLookRoundEither) {
  reach_the_stations();
  ASSERT_EQ(send(RequestKind::pause), control::Refusal::accepted);
  loop_.run_for(115);

  EXPECT_EQ(s().presence.stage, PresenceStage::lowered);
  EXPECT_NEAR(s().induced_pa, 10, 1.5);
}

TEST_F(EnginePresence, RefusesATapThatNobodyAskedFor) {
  EXPECT_EQ(send(RequestKind::still_here), control::Refusal::not_running);
}

TEST_F(EnginePresence, RefusesAnIntervalThatNobodyCanKeep) {
  for (const double interval_s : {29.9, 1800.1, -60.0}) {
    loop_.request(watched(interval_s));
    EXPECT_EQ(loop_.tick().refusals[0], control::Refusal::out_of_range) << interval_s;
  }
  loop_.request(watched(std::numeric_limits<double>::quiet_NaN()));
  EXPECT_EQ(loop_.tick().refusals[0], control::Refusal::not_finite);
}

TEST_F(EnginePresence, StopWorksWhileThePressureIsLow) {
  reach_the_stations();
  loop_.run_for(80);
  ASSERT_EQ(s().presence.stage, PresenceStage::lowered);
  (void)send(RequestKind::stop);

  EXPECT_EQ(s().run_state, control::RunState::stopped);
  EXPECT_EQ(s().presence, control::PresenceState{});
  EXPECT_FALSE(driven());
}

}  // namespace
}  // namespace leeward::bench
