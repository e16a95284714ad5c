#include "control/analysis/validity.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/analysis/analyse.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

using worked_example::at_least;
using worked_example::check_of;

CheckSpec at_most(CheckKind kind, double high) {
  CheckSpec check = check_of(kind);
  check.has_high = true;
  check.high = high;
  return check;
}

CheckSpec between(CheckKind kind, double low, double high) {
  CheckSpec check = at_most(kind, high);
  check.has_low = true;
  check.low = low;
  return check;
}

/// The verdicts of one check on the worked example, first direction first.
Verdicts verdicts_of(const CheckSpec& check, RunRecord run = worked_example::run()) {
  run.procedure.checks.push_back(check);
  return analyse(run).verdicts;
}

/// A check that sees `seen` in the first direction: a limit on either side of it decides.
void expect_seen(CheckKind kind, double seen, const RunRecord& run = worked_example::run()) {
  const double off = 1e-6 + 1e-9 * std::abs(seen);
  EXPECT_EQ(verdicts_of(at_most(kind, seen + off), run)[0].outcome, CheckOutcome::passed);
  EXPECT_EQ(verdicts_of(at_most(kind, seen - off), run)[0].outcome, CheckOutcome::failed);
  EXPECT_EQ(verdicts_of(at_least(kind, seen - off), run)[0].outcome, CheckOutcome::passed);
  EXPECT_EQ(verdicts_of(at_least(kind, seen + off), run)[0].outcome, CheckOutcome::failed);
  EXPECT_NEAR(verdicts_of(at_least(kind, 0), run)[0].seen, seen, off);
}

void expect_not_applicable(CheckKind kind, const RunRecord& run) {
  EXPECT_EQ(verdicts_of(between(kind, 1, 2), run)[0].outcome, CheckOutcome::not_applicable);
}

RunRecord without_stations() {
  RunRecord run = worked_example::run();
  for (DirectionRecord& d : run.directions) d.stations.clear();
  return run;
}

TEST(CheckValidity, SeesTheZeroFlowPressure) {
  RunRecord run = worked_example::run();
  run.directions[0].before.positive_mean_pa = 0.4;
  run.directions[0].after.end_ns -= 5'000'000'000;
  run.directions[0].after.samples = 250;

  expect_seen(CheckKind::baseline_sign_means, 2.05, run);
  expect_seen(CheckKind::baseline_mean, 2.05, run);
  expect_seen(CheckKind::baseline_duration, 25, run);
  expect_seen(CheckKind::baseline_samples, 250, run);
}

TEST(CheckValidity, CountsAZeroFlowPressureThatIsMissingAsNone) {
  RunRecord after_missing = worked_example::run();
  after_missing.directions[0].after.taken = false;
  RunRecord after_not_asked = after_missing;
  after_not_asked.procedure.baseline_after = false;
  RunRecord none = after_missing;
  none.directions[0].before.taken = false;

  EXPECT_EQ(verdicts_of(at_least(CheckKind::baseline_duration, 30), after_missing)[0].outcome,
            CheckOutcome::failed);
  EXPECT_EQ(verdicts_of(at_least(CheckKind::baseline_duration, 30), after_not_asked)[0].outcome,
            CheckOutcome::passed);
  RunRecord only_after = worked_example::run();
  only_after.directions[0].before.taken = false;
  EXPECT_EQ(verdicts_of(at_least(CheckKind::baseline_duration, 30), only_after)[0].outcome,
            CheckOutcome::failed);
  expect_seen(CheckKind::baseline_mean, 2.05, only_after);
  expect_seen(CheckKind::baseline_sign_means, 2.05, only_after);
  EXPECT_EQ(verdicts_of(at_least(CheckKind::baseline_samples, 10), none)[0].outcome, CheckOutcome::failed);
  expect_not_applicable(CheckKind::baseline_sign_means, none);
  expect_not_applicable(CheckKind::baseline_mean, none);
}

TEST(CheckValidity, SeesTheStations) {
  expect_seen(CheckKind::station_count, 10);
  expect_seen(CheckKind::station_spacing, 5.7);
  expect_seen(CheckKind::lowest_station, 14.905);
  expect_seen(CheckKind::highest_station, 59.905);
  expect_seen(CheckKind::station_average, 20);
  expect_seen(CheckKind::single_point_pressure, 35.095);
}

TEST(CheckValidity, LeavesStationsThatNoFitTakesOut) {
  RunRecord run = worked_example::run();
  StationRecord wrong_way = run.directions[0].stations[0];
  wrong_way.pressure_mean_pa = 20;
  wrong_way.end_ns = 1;
  run.directions[0].stations.push_back(wrong_way);

  expect_seen(CheckKind::station_count, 10, run);
  expect_seen(CheckKind::station_average, 20, run);
}

TEST(CheckValidity, TakesTheShortestAverage) {
  RunRecord run = worked_example::run();
  run.directions[0].stations[4].end_ns = 12'500'000'000;

  expect_seen(CheckKind::station_average, 12.5, run);
}

TEST(CheckValidity, SeesTheProceduresOwnFit) {
  const FitResult fit = analyse(worked_example::run()).directions[0].standard;

  expect_seen(CheckKind::exponent_range, fit.n.value);
  expect_seen(CheckKind::r2_min, fit.r2);

  RunRecord fixed = worked_example::run();
  fixed.procedure.fit = FitMethod::fixed_exponent;
  expect_not_applicable(CheckKind::exponent_range, fixed);
  expect_not_applicable(CheckKind::r2_min, fixed);
}

TEST(CheckValidity, RaisesTheLowestStationWithTheZeroFlowPressure) {
  CheckSpec check = between(CheckKind::lowest_station, 10, 30);
  check.zero_flow_factor = 5;

  const Verdict quiet = verdicts_of(check)[0];
  RunRecord windy = worked_example::run();
  windy.directions[0].before.negative_mean_pa = -4;
  const Verdict failed = verdicts_of(check, windy)[0];

  EXPECT_EQ(quiet.outcome, CheckOutcome::passed);  // 5 * 2.05 = 10.25 < 14.905
  EXPECT_NEAR(quiet.limit, 10.25, 1e-12);
  EXPECT_EQ(failed.outcome, CheckOutcome::failed);
  EXPECT_NEAR(failed.limit, 20, 1e-12);
}

TEST(CheckValidity, SeesTheWeatherAndBothDirectionsOnceARun) {
  RunRecord run = worked_example::run();
  run.conditions.has_wind = true;
  run.conditions.wind_m_s = 4;

  expect_seen(CheckKind::wind_speed, 4, run);
  expect_seen(CheckKind::stack_product, 18 * 5.2, run);
  const Verdicts both = verdicts_of(check_of(CheckKind::both_directions), run);
  ASSERT_EQ(both.size(), 1U);
  EXPECT_EQ(both[0].direction, -1);
  EXPECT_EQ(both[0].outcome, CheckOutcome::passed);

  const RunRecord one = worked_example::run_of(worked_example::depressurization());
  EXPECT_EQ(verdicts_of(check_of(CheckKind::both_directions), one)[0].outcome, CheckOutcome::failed);
  EXPECT_EQ(verdicts_of(at_least(CheckKind::both_directions, 1), one)[0].outcome, CheckOutcome::passed);
  RunRecord one_empty = worked_example::run();
  one_empty.directions[1].stations.clear();
  EXPECT_EQ(verdicts_of(check_of(CheckKind::both_directions), one_empty)[0].seen, 1);
}

TEST(CheckValidity, DoesNotApplyWithoutTheFigure) {
  RunRecord unknown = worked_example::run();
  unknown.building.height_m = 0;
  RunRecord one_station = without_stations();
  one_station.directions[0].stations.push_back(worked_example::depressurization().stations[0]);

  expect_not_applicable(CheckKind::wind_speed, unknown);
  expect_not_applicable(CheckKind::stack_product, unknown);
  expect_not_applicable(CheckKind::station_spacing, one_station);
  for (const CheckKind kind :
       {CheckKind::lowest_station, CheckKind::highest_station, CheckKind::station_average,
        CheckKind::exponent_range, CheckKind::r2_min, CheckKind::single_point_pressure})
    expect_not_applicable(kind, without_stations());
  EXPECT_EQ(verdicts_of(check_of(CheckKind::station_count))[0].outcome, CheckOutcome::not_applicable);
}

TEST(CheckValidity, NamesTheNearerOfTwoLimits) {
  EXPECT_EQ(verdicts_of(between(CheckKind::highest_station, 50, 100))[0].limit, 50);
  EXPECT_EQ(verdicts_of(between(CheckKind::highest_station, 10, 61))[0].limit, 61);
}

TEST(CheckValidity, GivesOneVerdictACheckAndDirection) {
  RunRecord run = worked_example::run();
  while (!run.procedure.checks.full()) run.procedure.checks.push_back(at_least(CheckKind::station_count, 5));

  const Verdicts verdicts = analyse(run).verdicts;

  ASSERT_EQ(verdicts.size(), 2 * kMaxChecks);
  EXPECT_EQ(verdicts[3].check, 1);
  EXPECT_EQ(verdicts[3].direction, 1);
}

TEST(CheckValidity, OnlyAFailedInvalidatingCheckInvalidatesTheRun) {
  const auto run_valid = [](Severity severity, double least_stations) {
    RunRecord run = worked_example::run();
    run.procedure.checks.push_back(at_least(CheckKind::station_count, least_stations));
    run.procedure.checks[0].severity = severity;
    return analyse(run).valid;
  };

  EXPECT_TRUE(run_valid(Severity::invalid, 10));
  EXPECT_FALSE(run_valid(Severity::invalid, 11));
  EXPECT_TRUE(run_valid(Severity::deviation, 11));
  EXPECT_TRUE(run_valid(Severity::advice, 11));
}

}  // namespace
}  // namespace leeward::control
