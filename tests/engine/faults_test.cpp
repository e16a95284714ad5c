// Faults as stories through the whole engine: the simulated house, the fan at 50 Pa, one thing goes wrong.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/counted_new.hpp"
#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

class EngineStory : public ::testing::Test {
 protected:
  EngineStory() : loop_(calm_house(4, 400, 0.65), 3) {
    loop_.baseline(15);
    loop_.hold(50, 400);
    loop_.run_for(30);
    EXPECT_NEAR(loop_.true_induced_pa(), 50, 1);
  }
  /// Seconds until the command is off, or -1.
  double seconds_to_off(double at_most_s) {
    for (int k = 1; k <= static_cast<int>(at_most_s * 10); ++k)
      if (loop_.tick().command.fans[0].drive == control::Drive::off) return 0.1 * k;
    return -1;
  }
  control::TripCause cause() const { return loop_.state().guard.trip.cause; }

  ClosedLoop loop_;
};

TEST_F(EngineStory, StopsInTheTickOfTheRequest) {
  control::Request stop;
  stop.kind = control::RequestKind::stop;
  loop_.request(stop);

  const control::StepOutput out = loop_.tick();

  EXPECT_EQ(out.command.fans[0].drive, control::Drive::off);
  EXPECT_EQ(out.command.fans[0].demand_frac, 0);
  EXPECT_EQ(loop_.state().phase, control::Phase::idle);
}

TEST_F(EngineStory, IsOffWithinASecondOfASilentSensor) {
  loop_.tamper = [](control::Sample& s) { s.building_pressure_pa = {}; };

  const double off = seconds_to_off(3);

  EXPECT_GT(off, 0);
  EXPECT_LE(off, 1.0);
  EXPECT_EQ(cause(), control::TripCause::pressure_missing);
}

TEST_F(EngineStory, IsOffWithinASecondOfNan) {
  loop_.tamper = [](control::Sample& s) { s.building_pressure_pa.value = std::nan(""); };

  const double off = seconds_to_off(3);

  EXPECT_GT(off, 0);
  EXPECT_LE(off, 1.0);
}

TEST_F(EngineStory, LivesThroughTwoMissingSamples) {
  int missing = 2;
  loop_.tamper = [&](control::Sample& s) {
    if (missing-- > 0) s.building_pressure_pa = {};
  };
  loop_.run_for(10);

  EXPECT_EQ(cause(), control::TripCause::none);
  EXPECT_NEAR(loop_.true_induced_pa(), 50, 1);
}

TEST_F(EngineStory, SeesThatTheBuildingTubeCameOff) {
  loop_.plant().set_event(sim::Event::building_tube_off, true);

  EXPECT_GT(seconds_to_off(8), 0);
  EXPECT_EQ(cause(), control::TripCause::no_response);
}

TEST_F(EngineStory, SeesAFrozenSensorWithinThreeSeconds) {
  loop_.plant().set_event(sim::Event::building_gauge_stuck, true);

  const double off = seconds_to_off(10);

  EXPECT_GT(off, 0);
  EXPECT_LE(off, 3.5);
  EXPECT_EQ(cause(), control::TripCause::pressure_frozen);
}

TEST_F(EngineStory, RefusesToMoveUntilTheTripIsCleared) {
  loop_.tamper = [](control::Sample& s) { s.building_pressure_pa = {}; };
  loop_.run_for(3);
  loop_.tamper = nullptr;
  loop_.hold(10);
  const control::StepOutput refused = loop_.tick();
  EXPECT_EQ(refused.refusals[0], control::Refusal::tripped);
  loop_.run_for(5);
  EXPECT_EQ(loop_.state().applied_frac, 0);

  control::Request clear;
  clear.kind = control::RequestKind::clear_trip;
  loop_.request(clear);
  EXPECT_EQ(loop_.tick().refusals[0], control::Refusal::accepted);
  EXPECT_EQ(loop_.state().phase, control::Phase::idle);
  loop_.run_for(5);
  EXPECT_EQ(loop_.state().applied_frac, 0);  // it never resumes by itself
  loop_.hold(10);
  EXPECT_EQ(loop_.tick().refusals[0], control::Refusal::accepted);
}

TEST(EngineStart, TripsWhenTheTubesAreSwapped) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.plant().set_event(sim::Event::building_tubes_swapped, true);
  loop.baseline(15);
  loop.hold(10, 400);

  EXPECT_TRUE(loop.run_until([&] { return loop.state().guard.trip.active(); }, 30));
  EXPECT_EQ(loop.state().guard.trip.cause, control::TripCause::wrong_way);
}

TEST(EngineStart, TripsWhenTheFanIsStillCovered) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.plant().set_covered(true);
  loop.baseline(15);
  loop.hold(10, 400);

  EXPECT_TRUE(loop.run_until([&] { return loop.state().guard.trip.active(); }, 60));
  EXPECT_EQ(loop.state().guard.trip.cause, control::TripCause::no_response);
}

TEST(EngineStart, RefusesAHoldWithoutABaselineAndAboveTheLookRoundPressure) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.hold(10);
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::no_baseline);
  loop.baseline(10);
  control::Request r;
  r.kind = control::RequestKind::hold;
  r.target_pa = 50;
  loop.request(r);
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::look_round_missing);
  r.target_pa = 90;
  loop.request(r);
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::above_ceiling);
  r.target_pa = std::nan("");
  loop.request(r);
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::not_finite);
}

TEST(EngineRun, NeverGoesAboveTheLookRoundPressureBeforeTheCrewHasAnswered) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.request(start(ten_stations(), 400));
  loop.run_until([&] { return loop.state().phase == control::Phase::look_round; }, 200);
  loop.set_crew(false);
  double peak = 0;
  for (int k = 0; k < 3000; ++k) {
    (void)loop.tick();
    peak = std::max(peak, loop.true_induced_pa());
  }

  EXPECT_EQ(loop.state().phase, control::Phase::look_round);
  EXPECT_LT(peak, 12);
}

TEST(EngineRun, SaysSoWhenAnotherRestrictionIsFittedThanWasAskedFor) {
  ClosedLoop loop(calm_house(2, 400, 0.65), 3);
  loop.request(start(ten_stations(), 400));
  loop.run_until(
      [&] {
        for (const control::Ask& a : loop.state().asks)
          if (a.kind == control::AskKind::fit_restriction) return true;
        return false;
      },
      400);
  ASSERT_FALSE(loop.state().asks.empty());
  loop.run_for(0.1);  // the crew has answered and fitted what was asked for
  loop.plant().set_fitted(loop.state().fans[0].fitted + 1);  // ... or so they thought

  EXPECT_TRUE(loop.run_until(
      [&] {
        for (const control::Event& e : loop.events())
          if (e.kind == control::EventKind::restriction_mismatch) return true;
        return false;
      },
      200));
}

TEST(EngineRun, NeverDrivesTheFanWhileHandsAreAtItNotEvenPaused) {
  ClosedLoop loop(calm_house(2, 400, 0.65), 3);
  loop.request(start(ten_stations(), 400));
  ASSERT_TRUE(loop.run_until(
      [&] {
        const auto& asks = loop.state().asks;
        return !asks.empty() && asks[0].kind == control::AskKind::fit_restriction;
      },
      400));
  loop.set_crew(false);
  loop.drop_requests();
  control::Request pause;
  pause.kind = control::RequestKind::pause;
  loop.request(pause);
  EXPECT_EQ(loop.tick().refusals[0], control::Refusal::not_running);
  for (int k = 0; k < 300; ++k) ASSERT_EQ(loop.tick().command.fans[0].drive, control::Drive::off);
}

TEST(EngineRun, DoesNotAskAgainForARestrictionThatTheCrewKeepsOut) {
  ClosedLoop loop(calm_house(2, 400, 0.65), 3);
  loop.request(start(ten_stations(), 400));
  int asked = 0;
  for (int k = 0; k < 30'000 && loop.state().phase != control::Phase::result; ++k) {
    (void)loop.tick();
    for (const control::Ask& a : loop.state().asks) {
      if (a.kind != control::AskKind::fit_restriction) continue;
      ++asked;
      loop.set_crew(false);
      control::Request keep;
      keep.kind = control::RequestKind::answer;
      keep.ask_id = a.id;
      keep.answer = control::Answer::keep;
      loop.drop_requests();
      loop.request(keep);
      (void)loop.tick();
      loop.set_crew(true);
      break;
    }
  }
  EXPECT_EQ(asked, 1);
  EXPECT_EQ(loop.state().phase, control::Phase::result);
}

TEST(EngineRun, LeavesNoCoverBehindForTheNextHold) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.request(start(ten_stations(), 400));
  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 2000));
  EXPECT_TRUE(loop.state().fans[0].covered);
  loop.plant().set_covered(false);
  loop.hold(20);
  loop.run_for(20);

  EXPECT_FALSE(loop.state().fans[0].covered);
  EXPECT_GT(loop.tick().trace.total_flow_m3_s, 0);
}

TEST(EngineRun, StopsDuringTheCountdown) {
  ClosedLoop loop(calm_house(4, 400, 0.65), 3);
  loop.request(start(ten_stations(), 400));
  ASSERT_TRUE(loop.run_until([&] { return loop.state().countdown_s > 0; }, 200));
  control::Request stop;
  stop.kind = control::RequestKind::stop;
  loop.request(stop);
  (void)loop.tick();

  EXPECT_EQ(loop.state().run_state, control::RunState::stopped);
  EXPECT_EQ(loop.state().phase, control::Phase::restore);
  loop.run_for(20);
  EXPECT_EQ(loop.state().applied_frac, 0);
}

TEST(EngineStep, GivesTheSameBitsTwiceAndFromACopy) {
  ClosedLoop a(calm_house(4, 400, 0.65), 3), b(calm_house(4, 400, 0.65), 3);
  for (ClosedLoop* loop : {&a, &b}) {
    loop->request(start(ten_stations(), 400));
    loop->run_for(150);
  }
  EXPECT_EQ(a.state(), b.state());
  ClosedLoop c = a;
  a.run_for(60);
  c.run_for(60);
  EXPECT_EQ(a.state(), c.state());
}

TEST(EngineStep, AllocatesNothing) {
  const control::Engine engine(rig_for(calm_house(4, 400, 0.65)));
  control::EngineState state = engine.initial_state();
  const control::Request run = start(ten_stations(), 400);
  control::Sample sample;
  const std::size_t before = test::allocations();
  for (int k = 0; k < 200; ++k) {
    sample.stamp_ns += 100'000'000;
    sample.building_pressure_pa = {0.01 * k, sample.stamp_ns, control::Quality::good};
    sample.fans[0].signal_pa = {0.02 * k, sample.stamp_ns, control::Quality::good};
    (void)engine.step(state, sample, k == 0 ? std::span(&run, 1) : std::span<const control::Request>());
  }
  EXPECT_EQ(test::allocations(), before);
}

/// Any sequence of samples and requests: never a command outside 0..limit, never NaN, never driving when
/// tripped.
TEST(EngineStep, KeepsItsPromisesWhateverItIsFed) {
  const control::Engine engine(rig_for(calm_house(4, 400, 0.65)));
  std::mt19937_64 random(23);
  const double odd[] = {std::numeric_limits<double>::quiet_NaN(),
                        std::numeric_limits<double>::infinity(),
                        -1e308,
                        1e308,
                        0,
                        -3,
                        10,
                        50,
                        79.9,
                        81,
                        120};
  const auto any = [&] {
    return random() % 6 == 0 ? odd[random() % 11] : static_cast<double>(random() % 1400) / 10 - 70;
  };
  control::EngineState state = engine.initial_state();
  control::Sample sample;
  for (int k = 0; k < 60'000; ++k) {
    sample.stamp_ns += random() % 50 == 0
                           ? static_cast<std::int64_t>(random() % 5'000'000'000) - 1'000'000'000
                           : 100'000'000;
    sample.skipped = random() % 30 == 0 ? 3 : 0;
    sample.late_ticks = random() % 30 == 0 ? 1 : 0;
    sample.out_of_turn = random() % 20 == 0;
    sample.building_pressure_pa = {any(), sample.stamp_ns,
                                   static_cast<control::Quality>(random() % 12 == 0 ? random() % 6 : 1)};
    sample.fans[0].signal_pa = {any(), sample.stamp_ns,
                                static_cast<control::Quality>(random() % 12 == 0 ? random() % 6 : 1)};
    control::Request r;
    if (random() % 8 == 0) {
      r = start(ten_stations(), any());
      r.kind = static_cast<control::RequestKind>(random() % 10);
      r.target_pa = any();
      r.rate_pa_s = any();
      r.duration_s = any();
      r.max_s = random() % 3 == 0 ? any() : 1800;
      r.look_round_done = random() % 2 == 0;
      r.direction = static_cast<control::Direction>(random() % 2);
      r.volume_m3 = any();
      r.ask_id = state.asks.empty() ? static_cast<std::int64_t>(random() % 5) : state.asks[0].id;
      r.answer = static_cast<control::Answer>(random() % 5);
    }
    const control::StepOutput out =
        engine.step(state, sample, std::span(&r, r.kind == control::RequestKind::none ? 0 : 1));
    const control::FanCommand& c = out.command.fans[0];
    ASSERT_TRUE(std::isfinite(c.demand_frac)) << k;
    ASSERT_GE(c.demand_frac, 0) << k;
    ASSERT_LE(c.demand_frac, 1) << k;
    if (c.drive != control::Drive::drive) {
      ASSERT_EQ(c.demand_frac, 0) << k;
    }
    if (state.guard.trip.active() && state.guard.trip.mode == control::StopMode::cut) {
      ASSERT_EQ(c.drive, control::Drive::off) << k;
    }
    ASSERT_TRUE(std::isfinite(out.trace.reference_pa) && std::isfinite(out.trace.i_frac) &&
                std::isfinite(out.trace.ln_c) && std::isfinite(out.trace.n) &&
                std::isfinite(out.trace.demand_offset_frac))
        << k;
  }
}

}  // namespace
}  // namespace leeward::bench
