// Stories of the guard in which the rig, the drive or the clock goes wrong rather than the pressure.
#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/control/guard/guard_story.hpp"

namespace leeward::control {
namespace {

TEST_F(GuardStory, CutsADriveThatAnswersButRefuses) {
  in_.refused = true;

  EXPECT_EQ(ticks_to_trip(10), 3);
  EXPECT_EQ(state_.trip.cause, TripCause::drive_refuses);
  EXPECT_FALSE(out_.drive);
}

TEST_F(GuardStory, LetsADriveRefuseWhileNothingIsAskedOfIt) {
  in_.drive = false;
  tick();
  in_.refused = true;

  EXPECT_EQ(ticks_to_trip(30), -1);
}

TEST_F(GuardStory, TripsAfterAGapInTimeWhileTheFanWasDriven) {
  in_.gap_s = 1.3;

  EXPECT_TRUE(tick().tripped_now);
  EXPECT_EQ(state_.trip.cause, TripCause::time_gap);
}

TEST_F(GuardStory, StopsTheFanWhereNobodyGivesASignOfLife) {
  in_.silent_s = 1199.9;
  in_.silent_limit_s = 1200;
  EXPECT_FALSE(tick().tripped_now);

  in_.silent_s = 1200;
  EXPECT_TRUE(tick().tripped_now);
  EXPECT_EQ(state_.trip.cause, TripCause::no_sign_of_life);
  EXPECT_EQ(state_.trip.mode, StopMode::ramp);
}

TEST_F(GuardStory, BearsAnySilenceWhereNoSignIsAskedForOrTheFanStands) {
  in_.silent_s = 1e6;
  EXPECT_FALSE(tick().tripped_now);

  in_.silent_limit_s = 1200;
  in_.drive = false;
  EXPECT_FALSE(tick().tripped_now);
}

TEST_F(GuardStory, SleepsSoundlyWithTheFanOff) {
  in_.drive = false;
  run_for(1);
  in_.gap_s = 3600;

  EXPECT_FALSE(tick().tripped_now);
}

TEST_F(GuardStory, EndsARunThatWaitsForAZeroFlowPressureOfASilentGauge) {
  in_.drive = false;
  in_.signal_pa = 0;
  in_.pressure_good = false;
  run_for(1);
  in_.pressure_age_s = 3600;  // hands are at the fan: the crew may be at the tubes too
  run_for(1);
  ASSERT_FALSE(state_.trip.active());
  in_.reading_needed = true;
  in_.pressure_age_s = 29;
  EXPECT_FALSE(tick().tripped_now);
  in_.pressure_age_s = 30;

  EXPECT_TRUE(tick().tripped_now);
  EXPECT_EQ(state_.trip.cause, TripCause::pressure_missing);
}

TEST_F(GuardStory, CountsTimeThatStandsStillAsLate) {
  in_.dt_s = 0;

  EXPECT_EQ(ticks_to_trip(20), 5);
  EXPECT_EQ(state_.trip.cause, TripCause::missed_ticks);
}

TEST_F(GuardStory, CutsARampWhenTimeStandsStill) {
  in_.late_ticks = 1;
  ticks_to_trip(10);
  ASSERT_TRUE(out_.drive);  // ramping
  in_.dt_s = 0;

  EXPECT_FALSE(tick().drive);
}

TEST_F(GuardStory, CutsARampThatCarriesTheBuildingBeyondTheCeiling) {
  in_.late_ticks = 1;
  ticks_to_trip(10);
  ASSERT_TRUE(out_.drive);
  set_pressure(-81);

  EXPECT_EQ(tick().demand_frac, 0);
}

TEST_F(GuardStory, DoesNotTakeAFanThatIgnoresTheStopForWind) {
  in_.drive = false;
  run_for(10);  // long enough for any wheel to come to rest, and yet it draws air
  set_pressure(-81);

  EXPECT_FALSE(tick().too_windy);
  EXPECT_GT(ticks_to_trip(60), 40);
  EXPECT_EQ(state_.trip.cause, TripCause::fan_ignores_stop);
}

TEST_F(GuardStory, StandsStampsAtTheEndsOfTime) {
  in_.late_ticks = 1;
  ticks_to_trip(10);
  in_.now_ns = std::numeric_limits<std::int64_t>::min() + 1'000'000'000;

  EXPECT_TRUE(std::isfinite(tick().demand_frac));
}

// The signal is called missing 0.3 s after its last reading: one second in all.
TEST_F(GuardStory, TripsSevenTenthsAfterTheFlowSignalIsCalledMissingInARun) {
  in_.signal_good = false;

  EXPECT_NEAR(ticks_to_trip(30), 7, 1);  // sums of 0.1 s round either way
  EXPECT_EQ(state_.trip.cause, TripCause::signal_missing);
}

TEST_F(GuardStory, HoldsOnWithoutAFlowSignalOutsideARun) {
  in_.signal_good = false;
  in_.signal_needed = false;

  EXPECT_EQ(ticks_to_trip(50), -1);
}

TEST_F(GuardStory, TripsAfterFiveLateTicksInARow) {
  in_.late_ticks = 1;

  EXPECT_EQ(ticks_to_trip(20), 5);
  EXPECT_EQ(state_.trip.cause, TripCause::missed_ticks);
}

TEST_F(GuardStory, TripsOnALoopThatSwings) {
  int trip = -1;
  for (int i = 0; i < 200 && trip < 0; ++i) {
    in_.demand_frac = (i / 10) % 2 == 0 ? 0.2 : 0.6;  // a full swing in 2 s
    if (tick().tripped_now) trip = i;
  }

  EXPECT_GT(trip, 0);
  EXPECT_EQ(state_.trip.cause, TripCause::oscillation);
}

TEST_F(GuardStory, TripsOnAPressureThatSwingsWithTheDemandInWindAsSoonAsInStillAir) {
  const auto seconds_to_trip = [this](double unrest_pa, double swing_pa) {
    state_ = GuardState{};
    in_.zero_flow_sd_pa = unrest_pa;
    in_.last_applied_frac = 0.4;
    for (int i = 0; i < 300; ++i) {
      const double phase = 2 * 3.141592653589793 * i / 30;  // 3 s; the pressure follows a quarter later
      in_.demand_frac = 0.4 + 0.15 * std::sin(phase);
      set_pressure(-50 + swing_pa * std::cos(phase));
      if (tick().tripped_now) return 0.1 * i;
    }
    return 1e9;
  };

  const double still = seconds_to_trip(0.1, 5);
  EXPECT_EQ(state_.trip.cause, TripCause::oscillation);
  EXPECT_LT(still, 15);
  EXPECT_LE(seconds_to_trip(2, 5), still);
  EXPECT_GT(seconds_to_trip(2, 3), 30);
}

TEST_F(GuardStory, LetsTheDemandGoAgainstGustsThatLeaveThePressureQuiet) {
  in_.zero_flow_sd_pa = 1.5;
  for (int i = 0; i < 1200; ++i) {
    const double phase = 2 * 3.141592653589793 * i / 50;
    in_.demand_frac = 0.5 + 0.25 * std::sin(phase);
    set_pressure(-50 + 2 * std::cos(0.7 * phase));
    ASSERT_FALSE(tick().tripped_now) << "after " << 0.1 * i << " s";
  }
}

TEST_F(GuardStory, AlarmsWhenTheFanIgnoresStop) {
  in_.drive = false;
  in_.demand_frac = 0;

  const int ticks = ticks_to_trip(300);

  EXPECT_GT(ticks, 140);
  EXPECT_LT(ticks, 160);
  EXPECT_EQ(state_.trip.cause, TripCause::fan_ignores_stop);
}

TEST_F(GuardStory, StillKnowsOfATurningFanAfterItsTripIsCleared) {
  in_.drive = false;
  in_.demand_frac = 0;
  ASSERT_GT(ticks_to_trip(300), 0);
  clear_trip(state_);

  const int ticks = ticks_to_trip(300);

  EXPECT_GT(ticks, 140);  // the whole wait again: the person may have pulled the plug
  EXPECT_EQ(state_.trip.cause, TripCause::fan_ignores_stop);
}

TEST_F(GuardStory, KeepsATripUntilAPersonClearsIt) {
  set_pressure(-110);
  tick();
  set_pressure(-50);
  in_.signal_pa = 0;
  run_for(60);
  EXPECT_TRUE(state_.trip.active());
  EXPECT_FALSE(out_.drive);

  clear_trip(state_);

  EXPECT_TRUE(tick().drive);
}

}  // namespace
}  // namespace leeward::control
