#include "tests/control/guard/guard_story.hpp"

namespace leeward::control {
namespace {

TEST_F(GuardStory, AddsNothingWhileThePressureDoesNotShowWhatTheFanMakes) {
  in_.likely_pressure_pa = 45;
  set_pressure(-1);  // the tube has come off
  in_.demand_frac = 0.9;

  EXPECT_DOUBLE_EQ(tick().demand_frac, 0.5);
  EXPECT_EQ(out_.limited_by, LimitedBy::guard_hold);
}

TEST_F(GuardStory, AddsWhatIsAskedForWhereADoorExplainsTheFall) {
  in_.likely_pressure_pa = 3;  // the fan's own signal shows that it blows freely
  in_.least_pressure_pa = 1;
  set_pressure(-1);
  in_.demand_frac = 0.9;

  EXPECT_DOUBLE_EQ(tick().demand_frac, 0.9);
}

TEST_F(GuardStory, DoesNotTakeAGustForAPressureThatIsNotFelt) {
  in_.zero_flow_sd_pa = 12;
  in_.likely_pressure_pa = 45;  // below four sigma
  set_pressure(-1);
  in_.demand_frac = 0.9;

  EXPECT_DOUBLE_EQ(tick().demand_frac, 0.9);
}

TEST_F(GuardStory, StopsAFanThatMustBeBeyondTheCeilingWhateverTheGaugeReads) {
  in_.least_pressure_pa = 86;  // of 80
  set_pressure(-60);           // water in the tube

  EXPECT_EQ(ticks_to_trip(30), 11);
  EXPECT_EQ(state_.trip.cause, TripCause::over_pressure);
  EXPECT_EQ(state_.trip.mode, StopMode::cut);
}

TEST_F(GuardStory, DoesNotTakeAFanThatStandsForOneBeyondTheCeiling) {
  in_.least_pressure_pa = 200;
  in_.signal_pa = 0.2;
  set_pressure(-1);

  EXPECT_GT(ticks_to_trip(60), 20);
  EXPECT_EQ(state_.trip.cause, TripCause::no_response);
}

TEST_F(GuardStory, ForgetsThatTheFanWasBeyondTheCeilingForLessThanASecond) {
  in_.least_pressure_pa = 86;
  run_for(0.8);
  in_.least_pressure_pa = 60;
  run_for(5);
  in_.least_pressure_pa = 86;
  run_for(0.8);

  EXPECT_FALSE(state_.trip.active());
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
