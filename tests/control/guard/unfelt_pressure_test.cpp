#include <cmath>

#include "tests/control/guard/guard_story.hpp"

namespace leeward::control {
namespace {

/// As the story, in gusts; the reading goes on moving with them.
class WindyStory : public GuardStory {
 protected:
  WindyStory() {
    in_.zero_flow_sd_pa = in_.response.unrest_pa = 3;
    in_.response.gust_pa = 4.5;
  }
  /// @returns the ticks until a trip, or -1
  int ticks_about(double induced_pa, double swing_pa, int at_most) {
    for (int i = 1; i <= at_most; ++i) {
      set_pressure(-induced_pa + swing_pa * std::sin(0.7 * i));
      if (tick().tripped_now) return i;
    }
    return -1;
  }
};

TEST_F(GuardStory, AddsNothingWhileThePressureDoesNotShowWhatTheFanMakes) {
  in_.response.likely_pa = 45;
  set_pressure(-1);  // the tube has come off
  in_.demand_frac = 0.9;

  EXPECT_DOUBLE_EQ(tick().demand_frac, 0.5);
  EXPECT_EQ(out_.limited_by, LimitedBy::guard_hold);
}

TEST_F(GuardStory, AddsWhatIsAskedForWhereADoorExplainsTheFall) {
  in_.response.likely_pa = 3;  // the fan's own signal shows that it blows freely
  in_.response.sure_pa = 1;
  set_pressure(-1);
  in_.demand_frac = 0.9;

  EXPECT_DOUBLE_EQ(tick().demand_frac, 0.9);
}

TEST_F(GuardStory, DoesNotTakeAGustForAPressureThatIsNotFelt) {
  in_.response.unrest_pa = in_.response.gust_pa = 12;
  in_.response.likely_pa = in_.response.sure_pa = 45;  // below four sigma
  set_pressure(-3);
  in_.demand_frac = 0.9;

  EXPECT_DOUBLE_EQ(tick().demand_frac, 0.9);
}

TEST_F(GuardStory, CallsAFanWithoutFlowOneThatStands) {
  in_.response.sure_pa = in_.response.likely_pa = 200;
  in_.response.stands = true;
  in_.signal_pa = 0.2;
  set_pressure(-1);

  EXPECT_NEAR(ticks_to_trip(60), 30, 5);
  EXPECT_EQ(state_.trip.cause, TripCause::no_response);
}

TEST_F(GuardStory, StopsSevenTenthsAfterTheSlowestDriveMustHaveFollowedWhenTheNominalLongHas) {
  in_.response.sure_pa = 0;
  in_.response.likely_pa = 45;
  in_.response.stands = true;
  set_pressure(-1.8);
  run_for(5);
  ASSERT_FALSE(state_.trip.active()) << "a slow drive may not be there yet";
  in_.response.sure_pa = 30;

  EXPECT_NEAR(ticks_to_trip(20), 7, 1);
}

TEST_F(WindyStory, BearsALullThatTheGustsExplain) {
  in_.response.sure_pa = in_.response.likely_pa = 18;

  EXPECT_EQ(ticks_about(1, 2, 120), -1);
}

TEST_F(WindyStory, StopsWhereNoLullIsSoDeep) {
  in_.response.sure_pa = in_.response.likely_pa = 40;

  EXPECT_NEAR(ticks_about(1, 2, 120), 30, 1);
  EXPECT_EQ(state_.trip.cause, TripCause::no_response);
}

TEST_F(WindyStory, AsksForLessWhereNoAirMovesEither) {
  in_.response.sure_pa = in_.response.likely_pa = 20.5;
  EXPECT_EQ(ticks_about(1, 2, 60), -1);
  in_.response.stands = true;

  EXPECT_GT(ticks_about(1, 2, 5), 0);
}

TEST_F(WindyStory, StopsALullThatLastsLongerThanLullsDo) {
  in_.response.sure_pa = in_.response.likely_pa = 18;

  const int ticks = ticks_about(1, 2, 900);

  EXPECT_GT(ticks, 200);
  EXPECT_LT(ticks, 500);
}

TEST_F(WindyStory, DoesNotTakeForALullWhatNoGustMoves) {
  in_.response.sure_pa = in_.response.likely_pa = 18;

  EXPECT_LT(ticks_about(0.2, 0.1, 120), 40);  // the tube is off: the gauge shows its zero
  EXPECT_EQ(state_.trip.cause, TripCause::no_response);
}

TEST_F(WindyStory, AsksTheHouseWhetherTheFanMakesWhatItsCurveSays) {
  in_.response.sure_pa = in_.response.likely_pa = 40;
  in_.response.house_pa = 9;  // so little flow needs no more

  EXPECT_EQ(ticks_about(1, 2, 120), -1);
}

TEST_F(WindyStory, TakesTheHouseForAWitnessWhereTheFansLossesHideWhatItMakes) {
  in_.response.sure_pa = in_.response.likely_pa = 0;
  in_.response.house_pa = 31;

  EXPECT_LT(ticks_about(0.2, 0.1, 120), 40);
  EXPECT_EQ(state_.trip.cause, TripCause::no_response);
}

TEST_F(WindyStory, LetsAFanBeginAgainstAZeroFlowPressureThatLeavesNothingToRead) {
  in_.response.sure_pa = in_.response.likely_pa = in_.response.most_pa = 0;
  for (int i = 0; i < 60; ++i) {
    in_.induced_pa = -9;  // against its zero-flow pressure of 9 Pa the house is at zero
    in_.pressure_signed_pa = 0;
    ASSERT_FALSE(tick().tripped_now);
  }
}

TEST_F(WindyStory, DoesNotTakeAnOpenDoorForATubeThatIsOff) {
  in_.response.sure_pa = in_.response.likely_pa = 0;
  in_.response.most_pa = 12;
  in_.response.house_pa = 60;  // more than the fan can make by that flow: it goes elsewhere

  EXPECT_EQ(ticks_about(0.2, 0.1, 120), -1);
}

TEST(ResponseWatch, FindsAGaugeThatHasShownItsZeroSinceTheFanStood) {
  ResponseWatch watch;
  ResponseSight in{
      .dt_s = 0.1, .applies = true, .fresh = true, .unrest_pa = 0.1, .gust_pa = 0.1, .gust_time_s = 10};
  for (int i = 0; i < 20; ++i) watch_response(watch, in);
  in.blows = true;  // a large house: of the pressure that it takes nothing is sure
  for (int i = 0; i < 29; ++i) watch_response(watch, in);
  EXPECT_FALSE(is_without_response(watch, in));
  for (int i = 0; i < 3; ++i) watch_response(watch, in);

  EXPECT_TRUE(is_without_response(watch, in));
}

TEST(ResponseWatch, LetsALargeHouseAnswerWithLittle) {
  ResponseWatch watch;
  ResponseSight in{
      .dt_s = 0.1, .applies = true, .fresh = true, .unrest_pa = 0.1, .gust_pa = 0.1, .gust_time_s = 10};
  for (int i = 0; i < 20; ++i) watch_response(watch, in);
  in.blows = true;
  for (int i = 0; i < 100; ++i) {
    in.reading_pa = in.induced_pa = 0.4 + 0.005 * i;
    watch_response(watch, in);
    ASSERT_FALSE(is_without_response(watch, in)) << i;
  }
}

TEST_F(GuardStory, DoesNotStartAFanWhoseSignalIsMissingAlready) {
  in_.drive = false;
  in_.signal_good = false;
  run_for(5);
  EXPECT_FALSE(state_.trip.active()) << "it stands";

  in_.drive = true;
  EXPECT_EQ(ticks_to_trip(5), 1);
  EXPECT_EQ(state_.trip.cause, TripCause::signal_missing);
}

}  // namespace
}  // namespace leeward::control
