#include <gtest/gtest.h>

#include <limits>

#include "control/procedure/kept_run.hpp"
#include "control/procedure/take_up_rule.hpp"

namespace leeward::control {
namespace {

constexpr double kHour = 3600;

BaselineRecord reading(double begin_s) {
  BaselineRecord out;
  out.taken = true;
  out.begin_ns = static_cast<std::int64_t>(begin_s * 1e9);
  out.end_ns = out.begin_ns + 30'000'000'000;
  out.mean_pa = -1;
  return out;
}

StationRecord station(double target_pa, double begin_s) {
  StationRecord out;
  out.target_pa = target_pa;
  out.begin_ns = static_cast<std::int64_t>(begin_s * 1e9);
  out.end_ns = out.begin_ns + 20'000'000'000;
  out.pressure_mean_pa = -1 - target_pa;
  out.flow_mean_m3_s = 0.1;
  return out;
}

/// Two of three stations are measured, the last from 150 to 170 s; the recording ends at 200 s.
BrokenOffRun broken_run() {
  BrokenOffRun out;
  out.is_run = true;
  for (const double pa : {50., 40., 30.}) out.run.procedure.stations_pa.push_back(pa);
  out.rig.rig_name = "rig";
  FanSpec fan;
  fan.name = "fan";
  fan.restrictions.push_back({.name = "bore-300", .k_m3_s_pam = 0.2, .signal_max_pa = 300});
  out.rig.fans.push_back(fan);
  DirectionRecord direction;
  direction.before = reading(10);
  direction.stations.push_back(station(50, 100));
  direction.stations.push_back(station(40, 150));
  out.record.directions.push_back(direction);
  out.end_ns = 200'000'000'000;
  return out;
}

TakeUpRefusal refusal_of(const BrokenOffRun& broken, double age_s = 600) {
  return may_take_up(broken, broken.rig, age_s, 2 * kHour).refusal;
}

TEST(MayTakeUp, TakesARunThatBrokeOffInItsStations) {
  for (const RunState state : {RunState::interrupted, RunState::tripped, RunState::stopped}) {
    BrokenOffRun broken = broken_run();
    broken.state = state;
    EXPECT_EQ(refusal_of(broken), TakeUpRefusal::none);
  }
}

TEST(MayTakeUp, RefusesWhatIsOverOrStillGoingOn) {
  BrokenOffRun broken = broken_run();
  broken.state = RunState::done;
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::finished);
  broken.state = RunState::invalid;
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::finished);
  broken.state = RunState::running;
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::running);
  broken.is_run = false;
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::not_a_run);
}

TEST(MayTakeUp, RefusesWhereNoStationWasFinished) {
  BrokenOffRun broken = broken_run();
  broken.record.directions[0].stations.clear();
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::nothing_kept);
}

TEST(MayTakeUp, RefusesWhereNothingIsMissing) {
  BrokenOffRun broken = broken_run();
  broken.record.directions[0].stations.push_back(station(30, 180));
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::none) << "the closing reading is missing";
  broken.record.directions[0].after = reading(190);
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::nothing_missing);
  broken.run.direction = DirectionChoice::both;
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::none) << "the other direction is missing";
}

TEST(MayTakeUp, RefusesReadingsThatAreTooOldByTheOldestOfThem) {
  const BrokenOffRun broken = broken_run();
  EXPECT_EQ(refusal_of(broken, 2 * kHour - 101), TakeUpRefusal::none);
  EXPECT_EQ(refusal_of(broken, 2 * kHour - 99), TakeUpRefusal::too_old);
  EXPECT_EQ(refusal_of(broken, -1), TakeUpRefusal::clock_behind);
}

TEST(MayTakeUp, RefusesAnotherCalibrationAndNamesTheSetting) {
  const BrokenOffRun broken = broken_run();
  EngineConfig rig = broken.rig;
  rig.fans[0].restrictions[0].k_m3_s_pam = 0.21;
  const TakeUpVerdict other_k = may_take_up(broken, rig, 600, 2 * kHour);
  EXPECT_EQ(other_k.refusal, TakeUpRefusal::fan_changed);
  EXPECT_EQ(other_k.what.view(), "restriction.k_m3_s_pam");
  rig = broken.rig;
  rig.rig_name = "another";
  EXPECT_EQ(may_take_up(broken, rig, 600, 2 * kHour).refusal, TakeUpRefusal::rig_changed);
  rig = broken.rig;
  rig.building_gauge_accuracy_frac = 0.01;
  EXPECT_EQ(may_take_up(broken, rig, 600, 2 * kHour).refusal, TakeUpRefusal::gauge_changed);
}

TEST(MayTakeUp, DoesNotMindOtherGainsAndLimits) {
  const BrokenOffRun broken = broken_run();
  EngineConfig rig = broken.rig;
  rig.regulator.closed_loop_s = 3;
  rig.limits.building_pressure_max_pa = 60;
  rig.sample_hz = 20;
  rig.fans[0].fitted = 0;
  EXPECT_EQ(may_take_up(broken, rig, 600, 2 * kHour).refusal, TakeUpRefusal::none);
}

TEST(MayTakeUp, RefusesAFourthPart) {
  BrokenOffRun broken = broken_run();
  DirectionRecord& direction = broken.record.directions[0];
  direction.kept.push_back({reading(1), {}});
  direction.kept.push_back({reading(5), {}});
  EXPECT_EQ(refusal_of(broken), TakeUpRefusal::too_many_parts);
}

TEST(KeptOf, LeavesOutADirectionWithoutAStation) {
  BrokenOffRun broken = broken_run();
  DirectionRecord next;
  next.direction = Direction::pressurize;
  next.before = reading(190);
  broken.record.directions.push_back(next);
  EXPECT_EQ(kept_of(broken).directions.size(), 1U);
}

KeptRun kept_with_age(const BrokenOffRun& broken, double age_s) {
  KeptRun kept = kept_of(broken);
  kept.from = {"run-before", "", age_s};
  return kept;
}

TEST(TakenUp, PutsTheStampsBeforeTheRequestByTheAgeThatIsKnown) {
  const BrokenOffRun broken = broken_run();
  const auto directions = taken_up(broken.run, kept_with_age(broken, 600), 5'000'000'000);
  // The last station ended 30 s before the recording did, which ended 600 s before the request at 5 s.
  EXPECT_EQ(directions[0].stations[1].end_ns, -625'000'000'000);
}

TEST(TakenUp, PutsUnfinishedStationsBehindTheirOwnReading) {
  const BrokenOffRun broken = broken_run();
  const auto directions = taken_up(broken.run, kept_with_age(broken, 600), 0);
  EXPECT_FALSE(directions[0].before.taken);
  ASSERT_EQ(directions[0].kept.size(), 1U);
  EXPECT_EQ(directions[0].kept[0].before.mean_pa, -1);
  EXPECT_EQ(directions[0].stations[0].part, 1);
  EXPECT_FALSE(directions[0].kept_whole);
}

TEST(TakenUp, KeepsADirectionWholeThatLacksItsClosingReadingAlone) {
  BrokenOffRun broken = broken_run();
  broken.record.directions[0].stations.push_back(station(30, 180));
  const auto directions = taken_up(broken.run, kept_with_age(broken, 600), 0);
  EXPECT_TRUE(directions[0].before.taken);
  EXPECT_TRUE(directions[0].kept_whole);
  EXPECT_EQ(directions[0].stations[0].part, 0);
}

TEST(NextStationOf, CountsStationsThatWerePassedOverAsWalked) {
  const BrokenOffRun broken = broken_run();
  ProcedureSpec procedure;
  for (const double pa : {60., 50., 40., 40., 30.}) procedure.stations_pa.push_back(pa);
  EXPECT_EQ(next_station_of(procedure, broken.record.directions[0]), 3U);
  EXPECT_EQ(next_station_of(procedure, {}), 0U);
}

TEST(KeptRefusal, TakesStampsThatNoClockCanHaveForAnotherRuns) {
  const BrokenOffRun broken = broken_run();
  KeptRun kept = kept_with_age(broken, 600);
  kept.end_ns = std::numeric_limits<std::int64_t>::min();
  EXPECT_EQ(kept_refusal(broken.run, kept), Refusal::out_of_range);
  kept = kept_with_age(broken, 600);
  kept.directions[0].stations[0].begin_ns = std::numeric_limits<std::int64_t>::min();
  EXPECT_EQ(kept_refusal(broken.run, kept), Refusal::cannot_take_up);
}

}  // namespace
}  // namespace leeward::control
