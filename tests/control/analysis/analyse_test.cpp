#include "control/analysis/analyse.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "control/physics/standard_atmosphere.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

using worked_example::expect_inside;
using worked_example::expect_relative;
using worked_example::in_m3_h;
using worked_example::relative_half_width;

TEST(Analyse, StatesLeakageAreasOfItsOwnCurve) {
  const RunResult result = analyse(worked_example::run_of(worked_example::depressurization()));
  const double c = result.c_m3_s_pan.value;
  const double n = result.n.value;

  expect_relative(result.ela4_m2.value, c * std::sqrt(1.2040975 / 2) * std::pow(4, n - 0.5), 1e-6);
  expect_relative(result.eqla10_m2.value, c * std::sqrt(1.2040975 / 2) * std::pow(10, n - 0.5) / 0.611, 1e-6);
  // The plain fit's areas, computed apart, lie inside the intervals.
  EXPECT_LT(result.ela4_m2.low, 284.476e-4);
  EXPECT_GT(result.ela4_m2.high, 284.476e-4);
  EXPECT_LT(result.eqla10_m2.low, 552.506e-4);
  EXPECT_GT(result.eqla10_m2.high, 552.506e-4);
  // Far outside the stations the interval is the wider one.
  EXPECT_GT(relative_half_width(result.ela4_m2), relative_half_width(result.eqla10_m2));
  EXPECT_GT(relative_half_width(result.eqla10_m2), relative_half_width(result.q_ref_m3_s));
}

TEST(Analyse, OwnEstimateIsWiderThanTheRegressionAndNamesItsCauses) {
  const RunResult result = analyse(worked_example::run());
  const DirectionResult& d = result.directions[0];

  expect_inside(d.own.q_ref_m3_s);
  // The procedure leaves the viscosity of the cold air out, we do not: 0.982752 at its n (computed with
  // numpy).
  EXPECT_NEAR(d.own.q_ref_m3_s.value / d.standard.q_ref_m3_s.value, 0.982752, 0.005);
  EXPECT_GT(relative_half_width(d.own.q_ref_m3_s), 4 * relative_half_width(d.standard.q_ref_m3_s));
  EXPECT_NEAR(d.budget.calibration, 0.03, 1e-6);  // one restriction: exactly its own uncertainty
  const double n = d.own.n.value;
  const double leak_weight = n + (2 * n - 1) * (1.5 - 276.15 / (276.15 + 110.4));  // density and viscosity
  EXPECT_NEAR(d.budget.density,
              std::hypot(0.5 * kTemperatureUK / 294.15, leak_weight * kTemperatureUK / 276.15), 1e-4);
  EXPECT_EQ(d.budget.exponent, 0);
  EXPECT_NEAR(d.budget.total,
              std::hypot(std::hypot(d.budget.scatter, d.budget.baseline),
                         std::hypot(d.budget.calibration, d.budget.density)),
              1e-15);
}

TEST(Analyse, OfBothDirectionsAddsCommonCausesFullyAndOthersBySquares) {
  const RunResult result = analyse(worked_example::run());
  const DirectionResult& out = result.directions[0];
  const DirectionResult& in = result.directions[1];

  EXPECT_NEAR(result.q_ref_m3_s.value, 0.5 * (out.own.q_ref_m3_s.value + in.own.q_ref_m3_s.value), 1e-12);
  EXPECT_NEAR(result.n.value, 0.5 * (out.own.n.value + in.own.n.value), 1e-14);
  EXPECT_NEAR(result.c_m3_s_pan.value * std::pow(50, result.n.value), result.q_ref_m3_s.value, 1e-12);
  EXPECT_NEAR(result.budget.calibration, 0.03, 1e-6);
  EXPECT_LT(result.budget.baseline, 0.75 * out.budget.baseline);
  EXPECT_LT(result.budget.scatter, 0.75 * out.budget.scatter);
  // A temperature error moves both directions in opposite ways, most of it cancels.
  EXPECT_LT(result.budget.density, 0.35 * out.budget.density);
}

TEST(Analyse, AddsTheUncertaintyOfTheVolumeToTheAirChangeRate) {
  RunRecord run = worked_example::run();
  const RunResult exact = analyse(run);
  run.building.volume_relative_u = 0.04;
  const RunResult measured = analyse(run);

  EXPECT_NEAR(exact.n50_per_h.value, in_m3_h(exact.q_ref_m3_s.value) / 600, 1e-12);
  EXPECT_NEAR(exact.qe_m3_h_m2.value, in_m3_h(exact.q_ref_m3_s.value) / 550, 1e-12);
  EXPECT_NEAR(exact.qf_m3_h_m2.value, in_m3_h(exact.q_ref_m3_s.value) / 240, 1e-12);
  EXPECT_NEAR(relative_half_width(exact.n50_per_h), relative_half_width(exact.q_ref_m3_s), 1e-12);
  EXPECT_NEAR(relative_half_width(measured.n50_per_h),
              std::hypot(relative_half_width(exact.n50_per_h), 1.96 * 0.04), 1e-4);
}

/// One with stations that scatter as little as they say, so that 1.96 goes with every figure.
RunRecord run_with_gauge(RunRecord run, double accuracy_frac) {
  run.building_gauge_accuracy_frac = accuracy_frac;
  for (DirectionRecord& d : run.directions)
    for (StationRecord& s : d.stations) s.pressure_mean_se_pa = 0.5;
  return run;
}

// By hand: a gauge that reads (1 + e) p moves ln q = ln C + n ln p by -n e at every pressure, and ln ELA with
// it; n stays. 3 % at most, evenly distributed, is a standard uncertainty of 0.03 / sqrt(3) = 0.0173205.
constexpr double kGaugeU = 0.0173205081;

/// An even error of this size ends at its bounds, which takes a thousandth off the normal law's width.
void expect_near_below(double half_width, double of_normal_law) {
  EXPECT_LE(half_width, of_normal_law + 1e-12);
  EXPECT_GT(half_width, 0.999 * of_normal_law);
}

TEST(Analyse, WidensFlowsAndAreasByTheGaugesScaleTimesTheExponent) {
  const RunRecord one = worked_example::run_of(worked_example::depressurization());
  const RunResult exact = analyse(run_with_gauge(one, 0));
  const RunResult result = analyse(run_with_gauge(one, 0.03));
  const double more = 1.959964 * result.n.value * kGaugeU;  // the normal law's 95 %, tables

  const auto expect_wider = [&](const Interval& before, const Interval& after) {
    EXPECT_EQ(after.value, before.value);
    expect_near_below(relative_half_width(after), std::hypot(relative_half_width(before), more));
  };
  expect_wider(exact.q_ref_m3_s, result.q_ref_m3_s);
  expect_wider(exact.flows.q4_m3_s, result.flows.q4_m3_s);
  expect_wider(exact.ela4_m2, result.ela4_m2);
  expect_wider(exact.eqla10_m2, result.eqla10_m2);
  EXPECT_EQ(result.n, exact.n);
  EXPECT_EQ(exact.budget.gauge, 0);
  EXPECT_NEAR(result.budget.gauge, result.n.value * kGaugeU, 1e-9);
  EXPECT_NEAR(result.budget.total, std::hypot(exact.budget.total, result.budget.gauge), 1e-12);
}

TEST(Analyse, ReadsBothDirectionsWithTheSameGauge) {
  const RunResult exact = analyse(run_with_gauge(worked_example::run(), 0));
  const RunResult result = analyse(run_with_gauge(worked_example::run(), 0.03));
  const FitResult& out = result.directions[0].own;
  const FitResult& in = result.directions[1].own;

  // The mean moves by that of both shifts, each as large as its flow.
  const double n = (out.q_ref_m3_s.value * out.n.value + in.q_ref_m3_s.value * in.n.value) /
                   (out.q_ref_m3_s.value + in.q_ref_m3_s.value);
  EXPECT_NEAR(result.budget.gauge, n * kGaugeU, 1e-9);
  expect_near_below(relative_half_width(result.ela4_m2),
                    std::hypot(relative_half_width(exact.ela4_m2), 1.959964 * n * kGaugeU));
}

TEST(Analyse, MovesByTheGaugesScaleAsItsBudgetSays) {
  RunRecord run = worked_example::run();
  const RunResult before = analyse(run);
  constexpr double reads_more = 1.001;
  for (DirectionRecord& d : run.directions) {
    d.before.mean_pa *= reads_more;
    d.after.mean_pa *= reads_more;
    for (StationRecord& s : d.stations) s.pressure_mean_pa *= reads_more;
  }

  const RunResult after = analyse(run);

  // ln 1.001 = 0.0009995; what the weights follow is of second order.
  EXPECT_NEAR(std::log(after.q_ref_m3_s.value / before.q_ref_m3_s.value), -before.n.value * 0.0009995, 2e-6);
  EXPECT_NEAR(std::log(after.ela4_m2.value / before.ela4_m2.value), -before.n.value * 0.0009995, 1e-5);
}

TEST(Analyse, LeavesUnknownWhatTheBuildingDoesNotGive) {
  RunRecord run = worked_example::run();
  run.building = {};

  const RunResult result = analyse(run);

  EXPECT_TRUE(result.computed);
  EXPECT_TRUE(result.valid);
  EXPECT_FALSE(result.n50_per_h.known);
  EXPECT_FALSE(result.qe_m3_h_m2.known);
  EXPECT_FALSE(result.qf_m3_h_m2.known);
  expect_inside(result.ela4_m2);
}

TEST(Analyse, ScalesWithTheFlowsAndNothingElse) {
  RunRecord run = worked_example::run();
  const RunResult before = analyse(run);
  for (DirectionRecord& d : run.directions)
    for (StationRecord& s : d.stations) {
      s.flow_mean_m3_s *= 2;
      s.flow_mean_se_m3_s *= 2;
    }

  const RunResult after = analyse(run);

  EXPECT_NEAR(after.n.value, before.n.value, 1e-12);
  EXPECT_NEAR(after.n.low, before.n.low, 1e-10);
  expect_relative(after.q_ref_m3_s.value, 2 * before.q_ref_m3_s.value, 1e-12);
  expect_relative(after.q_ref_m3_s.low, 2 * before.q_ref_m3_s.low, 1e-10);
  expect_relative(after.ela4_m2.high, 2 * before.ela4_m2.high, 1e-10);
}

TEST(Analyse, DoesNotCareForTheOrderOfStations) {
  std::mt19937 rng(21);
  RunRecord run = worked_example::run();
  const RunResult before = analyse(run);
  for (int k = 0; k < 20; ++k) {
    for (DirectionRecord& d : run.directions) std::shuffle(d.stations.begin(), d.stations.end(), rng);

    const RunResult after = analyse(run);

    expect_relative(after.q_ref_m3_s.value, before.q_ref_m3_s.value, 1e-11);
    expect_relative(after.q_ref_m3_s.high, before.q_ref_m3_s.high, 1e-9);
    expect_relative(after.directions[0].standard.n.low, before.directions[0].standard.n.low, 1e-10);
  }
}

TEST(Analyse, GivesABuildingAtAltitudeTheSameStandardAir) {
  RunRecord with_barometer = worked_example::run();
  with_barometer.conditions.barometric_pa = standard_pressure(geopotential_altitude_m(1500)).si();
  RunRecord with_altitude = with_barometer;
  with_altitude.conditions.has_barometric = false;
  with_altitude.conditions.altitude_m = 1500;

  const RunResult a = analyse(with_barometer);
  const RunResult b = analyse(with_altitude);

  EXPECT_EQ(a.q_ref_m3_s.value, b.q_ref_m3_s.value);
  EXPECT_GT(b.budget.density, a.budget.density);  // the weather is not known
}

TEST(Analyse, ChargesTheExtrapolationToTheReferencePressure) {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  const RunResult whole = analyse(run);
  for (int i = 0; i < 4; ++i) run.directions[0].stations.erase_at(0);

  const RunResult low = analyse(run);

  EXPECT_FALSE(whole.directions[0].extrapolated);
  EXPECT_TRUE(low.directions[0].extrapolated);
  EXPECT_NEAR(low.directions[0].highest_pa, 39.805, 1e-9);
  EXPECT_GT(low.directions[0].budget.exponent, 0.002);
  EXPECT_EQ(whole.directions[0].budget.exponent, 0);
  EXPECT_GT(low.budget.total, whole.budget.total);
}

}  // namespace
}  // namespace leeward::control
