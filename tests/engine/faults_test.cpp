// Faults as stories through the whole engine: the simulated house, the fan at 50 Pa, one thing goes wrong.
#include <gtest/gtest.h>

#include <cmath>

#include "tests/engine/closed_loop.hpp"

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

TEST_F(EngineStory, SeesATubeOffEvenWithoutAFlowSignal) {
  loop_.tamper = [](control::Sample& s) { s.fans[0].signal_pa = {}; };

  const double off = seconds_to_off(5);

  EXPECT_GT(off, 0);
  EXPECT_LE(off, 2.0);
  EXPECT_EQ(cause(), control::TripCause::signal_missing);
}

TEST_F(EngineStory, CutsADriveThatRefusesWhatItIsTold) {
  loop_.tamper = [](control::Sample& s) { s.device = control::DeviceStatus::bad_answer; };

  const double off = seconds_to_off(3);

  EXPECT_GT(off, 0);
  EXPECT_LE(off, 0.5);
  EXPECT_EQ(cause(), control::TripCause::drive_refuses);
}

TEST_F(EngineStory, StopsAfterAGapInTime) {
  loop_.tamper = [](control::Sample& s) {
    constexpr std::int64_t kSleptNs = 1'500'000'000;
    s.stamp_ns += kSleptNs;
    s.building_pressure_pa.stamp_ns += kSleptNs;
    s.fans[0].signal_pa.stamp_ns += kSleptNs;
  };

  const double off = seconds_to_off(3);

  EXPECT_GT(off, 0);
  EXPECT_LE(off, 1.0);
  EXPECT_EQ(cause(), control::TripCause::time_gap);
}

TEST_F(EngineStory, CutsARampThatIsGoingOnAtTheOperatorsStop) {
  loop_.tamper = [](control::Sample& s) { s.building_pressure_pa = {}; };
  ASSERT_TRUE(loop_.run_until([&] { return loop_.state().guard.trip.active(); }, 3));
  ASSERT_GT(loop_.state().applied_frac, 0);  // ramping
  control::Request stop;
  stop.kind = control::RequestKind::stop;
  loop_.request(stop);

  EXPECT_EQ(loop_.tick().command.fans[0].drive, control::Drive::off);
}

TEST_F(EngineStory, WaitsForTheWheelBeforeItAveragesTheBaseline) {
  control::Request stop;
  stop.kind = control::RequestKind::stop;
  loop_.request(stop);
  (void)loop_.tick();
  control::Request baseline;
  baseline.kind = control::RequestKind::baseline;
  baseline.duration_s = 10;
  loop_.request(baseline);
  (void)loop_.tick();
  ASSERT_EQ(loop_.state().phase, control::Phase::baseline);
  while (loop_.state().followed_frac > 0.01) {
    EXPECT_EQ(loop_.state().sequencer.averages.begin_ns, 0);
    (void)loop_.tick();
  }
  ASSERT_TRUE(loop_.run_until([&] { return loop_.state().phase == control::Phase::idle; }, 40));

  EXPECT_NEAR(loop_.state().zero_flow_pa, 0, 0.3);
}

TEST_F(EngineStory, RemembersThatTheDemandIsAtItsLimitOverLostSamples) {
  ClosedLoop leaky(calm_house(60, 400, 0.65), 3);  // far beyond the fan
  leaky.baseline(15);
  leaky.hold(50, 400);
  ASSERT_TRUE(leaky.run_until([&] { return leaky.state().demand_at_limit; }, 60));
  leaky.tamper = [](control::Sample& s) { s.building_pressure_pa = {}; };
  (void)leaky.tick();

  EXPECT_TRUE(leaky.state().demand_at_limit);
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

}  // namespace
}  // namespace leeward::bench
