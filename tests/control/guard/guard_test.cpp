#include "control/guard/guard.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/control/guard/guard_story.hpp"

namespace leeward::control {
namespace {

TEST_F(GuardStory, LetsASteadyHoldPassUnchanged) {
  const GuardOutput out = tick();

  EXPECT_TRUE(out.drive);
  EXPECT_EQ(out.demand_frac, 0.5);
  EXPECT_EQ(out.limited_by, LimitedBy::nothing);
}

TEST_F(GuardStory, CutsTheDemandInTheTickThatIsBeyondTheCeiling) {
  set_pressure(-81);

  const GuardOutput out = tick();

  EXPECT_EQ(out.demand_frac, 0);
  EXPECT_EQ(out.limited_by, LimitedBy::ceiling);
  EXPECT_FALSE(state_.trip.active());
}

TEST_F(GuardStory, TripsWhenStillBeyondTheCeilingAfterOneSecond) {
  set_pressure(-82);

  const int ticks = ticks_to_trip(50);

  EXPECT_NEAR(ticks, 11, 1);
  EXPECT_EQ(state_.trip.cause, TripCause::over_pressure);
  EXPECT_EQ(out_.demand_frac, 0);
  EXPECT_FALSE(out_.drive);
}

TEST_F(GuardStory, TripsAtOnceFarBeyondTheCeiling) {
  set_pressure(101);
  in_.induced_pa = 50;  // whatever the direction, the building feels the size

  EXPECT_EQ(ticks_to_trip(1), 1);
  EXPECT_EQ(state_.trip.cause, TripCause::over_pressure);
}

TEST_F(GuardStory, GoesOnAfterAShortGustBeyondTheCeiling) {
  set_pressure(-83);
  run_for(0.5);
  set_pressure(-50);
  in_.demand_frac = 0.3;

  EXPECT_EQ(tick().demand_frac, 0.3);
  EXPECT_FALSE(state_.trip.active());
}

TEST_F(GuardStory, RampsToOffWithinSevenTenthsWhenThePressureGoesMissing) {
  in_.pressure_good = false;
  in_.pressure_age_s = 0.1;
  EXPECT_FALSE(tick().tripped_now);
  in_.pressure_age_s = 0.2;
  EXPECT_FALSE(tick().tripped_now);
  in_.pressure_age_s = 0.3;
  EXPECT_TRUE(tick().tripped_now);
  EXPECT_EQ(state_.trip.cause, TripCause::pressure_missing);
  EXPECT_LT(out_.demand_frac, 0.5);

  int ticks = 0;
  while (out_.drive && ticks < 20) {
    tick();
    ++ticks;
  }
  EXPECT_LE(ticks, 6);
}

TEST_F(GuardStory, NeverAddsDemandWithoutAFreshReading) {
  in_.pressure_good = false;
  in_.pressure_age_s = 0.1;
  in_.demand_frac = 0.9;

  const GuardOutput out = tick();

  EXPECT_EQ(out.demand_frac, 0.5);
  EXPECT_EQ(out.limited_by, LimitedBy::guard_hold);
}

TEST_F(GuardStory, TripsOnAFrozenSensor) {
  in_.pressure_frozen = true;

  EXPECT_EQ(ticks_to_trip(1), 1);
  EXPECT_EQ(state_.trip.cause, TripCause::pressure_frozen);
}

TEST_F(GuardStory, TripsOnASensorAtItsLimit) {
  in_.pressure_saturated = true;

  EXPECT_EQ(ticks_to_trip(1), 1);
  EXPECT_EQ(state_.trip.cause, TripCause::pressure_out_of_range);
  EXPECT_FALSE(out_.drive);
}

TEST_F(GuardStory, TripsWhenThePressureMovesTheWrongWay) {
  set_pressure(+10.5);
  in_.response.sure_pa = in_.response.likely_pa = 0;

  const int ticks = ticks_to_trip(20);
  EXPECT_GE(ticks, 7);
  EXPECT_LE(ticks, 8);
  EXPECT_EQ(state_.trip.cause, TripCause::wrong_way);
}

TEST_F(GuardStory, DoesNotTakeAGustForTheWrongWay) {
  set_pressure(15);
  run_for(0.5);
  set_pressure(-40);
  run_for(2);

  EXPECT_FALSE(state_.trip.active());
}

TEST_F(GuardStory, TakesForWindWhatTheFanCannotHaveMade) {
  in_.most_pressure_pa = 4;  // it has hardly begun to turn
  in_.response.sure_pa = in_.response.likely_pa = 0;
  set_pressure(15);

  EXPECT_EQ(ticks_to_trip(50), -1);
}

TEST_F(GuardStory, CutsAtOnceFarTheWrongWay) {
  set_pressure(35);

  EXPECT_EQ(ticks_to_trip(5), 1);
  EXPECT_EQ(state_.trip.cause, TripCause::wrong_way);
}

TEST_F(GuardStory, GivesWindyHousesRoomBeforeCallingItTheWrongWay) {
  in_.zero_flow_sd_pa = 4;  // 5 sigma = 20 Pa
  set_pressure(+15);
  in_.response.sure_pa = in_.response.likely_pa = 0;

  EXPECT_EQ(ticks_to_trip(50), -1);
}

TEST_F(GuardStory, TripsThreeSecondsAfterNoResponse) {
  set_pressure(-4);

  EXPECT_NEAR(ticks_to_trip(60), 30, 1);
  EXPECT_EQ(state_.trip.cause, TripCause::no_response);
}

TEST_F(GuardStory, CountsTheWrongWayFromWhereTheFanStood) {
  in_.drive = false;
  in_.demand_frac = 0;
  set_pressure(+12);  // the wind, through the hole of the open fan
  run_for(12);
  in_.signal_pa = 0;
  in_.drive = true;
  in_.demand_frac = 0.4;
  in_.response.sure_pa = in_.response.likely_pa = 0;

  EXPECT_EQ(ticks_to_trip(30), -1);
  set_pressure(+23);
  EXPECT_GT(ticks_to_trip(10), 0);
  EXPECT_EQ(state_.trip.cause, TripCause::wrong_way);
}

TEST_F(GuardStory, TripsWhenThePressureRunsAway) {
  for (double pa = 50; pa < 78; pa += 4.6) {
    set_pressure(-pa);
    tick();
  }
  set_pressure(-79);

  EXPECT_TRUE(state_.trip.active() || ticks_to_trip(10) > 0);
  EXPECT_EQ(state_.trip.cause, TripCause::pressure_rate);
}

TEST_F(GuardStory, TakesGustsForNoRunaway) {
  const auto climb_at = [this](double pa_s) {
    state_ = {};
    for (double pa = 20; pa < 70; pa += 0.1 * pa_s) {
      set_pressure(-pa);
      tick();
    }
    return state_.trip.cause;
  };
  in_.zero_flow_sd_pa = 3;  // 40 + 4 * 3 Pa/s

  EXPECT_NE(climb_at(48), TripCause::pressure_rate);
  EXPECT_EQ(climb_at(60), TripCause::pressure_rate);
}

TEST_F(GuardStory, AddsNothingWhileThePressureRunsAway) {
  set_pressure(-10);
  run_for(1);
  in_.demand_frac = in_.last_applied_frac = 0.5;
  for (double pa = 10; pa < 35; pa += 4.6) {  // 46 Pa/s, not yet for half a second
    set_pressure(-pa);
    tick();
  }
  ASSERT_FALSE(state_.trip.active());
  in_.demand_frac = 0.9;
  set_pressure(-39);

  EXPECT_EQ(tick().demand_frac, 0.5);
  EXPECT_EQ(out_.limited_by, LimitedBy::guard_hold);
}

TEST_F(GuardStory, CallsItWeatherWhenTheFanHasLongBeenAtRest) {
  in_.drive = false;
  in_.signal_pa = 0;
  run_for(9);
  set_pressure(-95);
  in_.drive = true;

  const GuardOutput out = tick();

  EXPECT_TRUE(out.too_windy);
  EXPECT_FALSE(out.drive);
  EXPECT_FALSE(state_.trip.active());
}

TEST(Guard, NeverRaisesADemandWhateverItIsFed) {
  std::mt19937_64 random(7);
  const double odd[] = {0,
                        -1,
                        1,
                        1e300,
                        -1e300,
                        std::numeric_limits<double>::quiet_NaN(),
                        std::numeric_limits<double>::infinity(),
                        50,
                        0.5,
                        1e-300};
  const LimitSpec limits;
  GuardState state;
  GuardInput in;
  for (int i = 0; i < 100'000; ++i) {
    const auto pick = [&] {
      return random() % 3 == 0 ? odd[random() % 10] : static_cast<double>(random() % 1000) / 10;
    };
    in.now_ns += static_cast<std::int64_t>(random() % 200'000'000);
    in.dt_s = static_cast<double>(random() % 200) / 1000;
    in.pressure_good = random() % 4 != 0;
    in.pressure_signed_pa = pick();
    in.induced_pa = pick();
    in.pressure_age_s = pick() / 1000;
    in.response = {.dt_s = in.dt_s,
                   .applies = random() % 4 != 0,
                   .fresh = in.pressure_good,
                   .reading_pa = pick(),
                   .induced_pa = in.induced_pa,
                   .sure_pa = pick(),
                   .likely_pa = pick(),
                   .most_pa = pick(),
                   .house_pa = pick(),
                   .blows = random() % 2 == 0,
                   .stands = random() % 2 == 0,
                   .unrest_pa = pick(),
                   .gust_pa = pick(),
                   .gust_time_s = pick()};
    in.zero_flow_sd_pa = pick();
    in.drive = random() % 4 != 0;
    in.demand_frac = pick();
    if (random() % 50 == 0) clear_trip(state);

    const GuardOutput out = guard_step(limits, state, in);

    ASSERT_TRUE(std::isfinite(out.demand_frac));
    ASSERT_GE(out.demand_frac, 0);
    ASSERT_LE(out.demand_frac, 1);
    if (!out.drive) {
      ASSERT_EQ(out.demand_frac, 0);
    }
    if (!state.trip.active() && in.drive && std::isfinite(in.demand_frac)) {
      ASSERT_LE(out.demand_frac, std::max(0.0, in.demand_frac));
    }
    in.last_applied_frac = out.demand_frac;
  }
}

}  // namespace
}  // namespace leeward::control
