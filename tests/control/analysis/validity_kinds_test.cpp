// The checks that single standards bring with them, each against a figure computed apart.
#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "control/analysis/analyse.hpp"
#include "control/analysis/log_log_fit.hpp"
#include "control/analysis/validity.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

Verdict verdict_of_kind(CheckKind kind, const RunRecord& given) {
  RunRecord run = given;
  CheckSpec check;
  check.kind = kind;
  check.has_low = check.has_high = true;
  check.low = -1e6;
  check.high = 1e6;
  run.procedure.checks.push_back(check);
  return analyse(run).verdicts[0];
}

double seen_of_kind(CheckKind kind, const RunRecord& run) { return verdict_of_kind(kind, run).seen; }

TEST(CheckValidity, SeesTheCorrelationOfTheLogarithms) {
  // r2 0.9996470 of the worked example, computed apart from this code.
  EXPECT_NEAR(seen_of_kind(CheckKind::correlation_min, worked_example::run()), std::sqrt(0.9996470), 1e-7);
}

TEST(CheckValidity, SeesTheStandardErrorOfTheFlowAtTenPascals) {
  const RunRecord run = worked_example::run();
  const DirectionResult d = analyse(run).directions[0];
  std::vector<double> pressure;
  std::vector<double> flow;
  for (const StationResult& s : d.stations) {
    pressure.push_back(s.induced_pa);
    flow.push_back(s.flow_m3_s);
  }

  EXPECT_NEAR(seen_of_kind(CheckKind::flow10_standard_error, run),
              100 * fit_log_log(pressure, flow).se_at(std::log(10.0)), 1e-6);
}

TEST(CheckValidity, CountsTheRepeatsOfTheTargetThatHasFewest) {
  RunRecord run = worked_example::run();
  run.procedure.stations_pa.clear();
  for (const double pa : {50.0, 50.0, 50.0, 25.0, 25.0}) run.procedure.stations_pa.push_back(pa);
  auto& stations = run.directions[0].stations;
  while (stations.size() > 4) stations.pop_back();
  for (std::size_t i = 0; i < 4; ++i) stations[i].target_pa = i < 3 ? 50 : 25;

  EXPECT_EQ(seen_of_kind(CheckKind::station_repeats, run), 1);
}

TEST(CheckValidity, SeesSpanAndDistanceFromTheTargets) {
  RunRecord run = worked_example::run();
  auto& stations = run.directions[0].stations;
  for (auto& s : stations)
    s.target_pa = -s.pressure_mean_pa - 1.895;  // the zero-flow pressure of the example
  stations[2].target_pa += 2.5;

  EXPECT_NEAR(seen_of_kind(CheckKind::pressure_span, run), 59.905 - 14.905, 1e-9);
  EXPECT_NEAR(seen_of_kind(CheckKind::station_off_target, run), 2.5, 1e-9);
}

TEST(CheckValidity, SeesHowFarTheDirectionsDiffer) {
  const RunRecord run = worked_example::run();
  RunRecord one = run;
  one.directions.pop_back();

  // q50 1495.93921 and 1620.60431 m3/h of the worked example, computed apart from this code.
  EXPECT_NEAR(seen_of_kind(CheckKind::directions_differ, run),
              100 * (1620.60431 - 1495.93921) / (0.5 * (1620.60431 + 1495.93921)), 1e-5);
  EXPECT_EQ(verdict_of_kind(CheckKind::directions_differ, run).direction, -1);
  EXPECT_EQ(verdict_of_kind(CheckKind::directions_differ, one).outcome, CheckOutcome::not_applicable);
}

TEST(CheckValidity, ExpandsTheCalibrationByTwo) {
  RunRecord run = worked_example::run();
  run.directions[0].stations[3].flow_k_relative_u = 0.04;
  RunRecord unknown = run;
  for (StationRecord& s : unknown.directions[0].stations) s.flow_k_relative_u = 0;

  EXPECT_NEAR(seen_of_kind(CheckKind::flow_calibration, run), 8, 1e-12);
  EXPECT_EQ(verdict_of_kind(CheckKind::flow_calibration, unknown).outcome, CheckOutcome::not_applicable);
}

TEST(CheckValidity, SeesTheOutdoorTemperature) {
  EXPECT_EQ(seen_of_kind(CheckKind::outdoor_temperature, worked_example::run()), 3);
}

}  // namespace
}  // namespace leeward::control
