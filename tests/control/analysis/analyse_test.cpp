#include "control/analysis/analyse.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "control/physics/standard_atmosphere.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

double in_m3_h(double m3_s) { return 3600 * m3_s; }

void expect_relative(double value, double expected, double tolerance) {
  EXPECT_NEAR(value / expected, 1, tolerance) << value << " against " << expected;
}

void expect_inside(const Interval& i) {
  ASSERT_TRUE(i.known);
  EXPECT_TRUE(std::isfinite(i.value) && std::isfinite(i.low) && std::isfinite(i.high));
  EXPECT_LT(i.low, i.value);
  EXPECT_LT(i.value, i.high);
}

double relative_half_width(const Interval& i) { return 0.5 * std::log(i.high / i.low); }

RunRecord single_point_run() {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  run.procedure.fit = FitMethod::fixed_exponent;
  run.procedure.stations_pa.clear();
  run.procedure.stations_pa.push_back(50);
  run.directions[0].stations.clear();
  run.directions[0].stations.push_back(worked_example::depressurization().stations[2]);
  return run;
}

TEST(Analyse, MeetsTheWorkedExampleDepressurizing) {
  const RunResult result = analyse(worked_example::run());
  const DirectionResult& d = result.directions[0];

  // Computed apart for the worked example, see worked_example.hpp.
  EXPECT_NEAR(d.zero_flow_pa, -1.895, 1e-12);
  EXPECT_NEAR(d.meter_factor, 1.0179085, 1e-7);
  EXPECT_NEAR(d.leak_factor, 0.9374118, 1e-7);
  EXPECT_NEAR(d.reference_factor, 1.0091662, 1e-6);
  EXPECT_NEAR(d.stations[0].induced_pa, 59.905, 1e-9);
  expect_relative(in_m3_h(d.stations[0].flow_m3_s), 1662.2154, 1e-7);
  expect_relative(in_m3_h(d.standard_env.c_m3_s_pan.value), 100.950161, 1e-6);
  expect_relative(d.standard_env.n.value, 0.6867951, 1e-6);
  expect_relative(in_m3_h(d.standard_env.c_m3_s_pan.low), 97.2430, 1e-6);
  expect_relative(in_m3_h(d.standard_env.c_m3_s_pan.high), 104.7987, 1e-6);
  EXPECT_NEAR(d.standard.n.low, 0.67627, 1e-5);
  EXPECT_NEAR(d.standard.n.high, 0.69732, 1e-5);
  EXPECT_NEAR(d.standard.r2, 0.9996470, 1e-7);
  EXPECT_NEAR(d.standard.residual_s, 0.0062479, 1e-7);
  EXPECT_EQ(d.standard.degrees_of_freedom, 8);
  expect_relative(in_m3_h(d.standard.c_m3_s_pan.value), 101.875493, 1e-6);
  expect_relative(in_m3_h(d.standard.q_ref_m3_s.value), 1495.93921, 1e-6);
  expect_relative(in_m3_h(d.standard.q_ref_m3_s.low), 1486.8727, 1e-6);
  expect_relative(in_m3_h(d.standard.q_ref_m3_s.high), 1505.0610, 1e-6);
}

TEST(Analyse, MeetsTheWorkedExamplePressurizing) {
  const RunResult result = analyse(worked_example::run());
  const DirectionResult& d = result.directions[1];

  // Computed apart for the worked example, see worked_example.hpp.
  EXPECT_NEAR(d.zero_flow_pa, -1.805, 1e-12);
  EXPECT_NEAR(d.meter_factor, 0.9855393, 1e-7);
  EXPECT_NEAR(d.leak_factor, 1.0667670, 1e-7);
  expect_relative(in_m3_h(d.standard_env.c_m3_s_pan.value), 117.853213, 1e-6);
  expect_relative(d.standard_env.n.value, 0.6729827, 1e-6);
  expect_relative(in_m3_h(d.standard.c_m3_s_pan.value), 116.492953, 1e-6);
  expect_relative(in_m3_h(d.standard.q_ref_m3_s.value), 1620.60431, 1e-6);
  expect_relative(in_m3_h(d.standard.q_ref_m3_s.low), 1615.6831, 1e-6);
  expect_relative(in_m3_h(d.standard.q_ref_m3_s.high), 1625.5405, 1e-6);
}

TEST(Analyse, StandardFitsOfBothDirectionsHaveTheKnownMean) {
  const RunResult result = analyse(worked_example::run());
  const double q50_m3_h = in_m3_h(0.5 * (result.directions[0].standard.q_ref_m3_s.value +
                                         result.directions[1].standard.q_ref_m3_s.value));

  // Computed apart: mean flow, air change rate at 600 m3, permeability at 550 m2.
  expect_relative(q50_m3_h, 1558.27176, 1e-6);
  expect_relative(q50_m3_h / 600, 2.597120, 1e-6);
  expect_relative(q50_m3_h / 550, 2.833221, 1e-6);
}

TEST(Analyse, KeepsTheViscosityWhereTheProcedureDoes) {
  RunRecord run = worked_example::run();
  run.procedure.viscosity_correction = true;

  const RunResult result = analyse(run);

  // Computed apart, viscosity formula of ASTM E779.
  expect_relative(in_m3_h(result.directions[0].standard.c_m3_s_pan.value), 100.118339, 1e-6);
  expect_relative(in_m3_h(result.directions[1].standard.c_m3_s_pan.value), 116.599125, 1e-6);
}

TEST(Analyse, MovesWithTheZeroFlowPressureAsItsSensitivitySays) {
  const auto shifted = [](double by_pa) {
    RunRecord run = worked_example::run_of(worked_example::depressurization());
    for (StationRecord& s : run.directions[0].stations) s.pressure_mean_pa -= by_pa;
    return analyse(run).directions[0].standard_env;
  };
  const auto q4 = [](const FitResult& fit) { return fit.c_m3_s_pan.value * std::pow(4, fit.n.value); };
  const FitResult base = shifted(0);

  // Computed apart: half a pascal more or less at every station.
  EXPECT_NEAR(shifted(0.5).q_ref_m3_s.value / base.q_ref_m3_s.value - 1, -0.006632, 1e-5);
  EXPECT_NEAR(shifted(-0.5).q_ref_m3_s.value / base.q_ref_m3_s.value - 1, 0.006484, 1e-5);
  EXPECT_NEAR(q4(shifted(0.5)) / q4(base) - 1, -0.03600, 1e-5);
  EXPECT_NEAR(q4(shifted(-0.5)) / q4(base) - 1, 0.03732, 1e-5);
}

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
  EXPECT_NEAR(d.own.q_ref_m3_s.value / d.standard.q_ref_m3_s.value, 1, 0.005);
  EXPECT_GT(relative_half_width(d.own.q_ref_m3_s), 4 * relative_half_width(d.standard.q_ref_m3_s));
  EXPECT_NEAR(d.budget.calibration, 0.03, 1e-6);  // one restriction: exactly its own uncertainty
  EXPECT_NEAR(d.budget.density, std::hypot(0.5 * 0.5 / 294.15, d.own.n.value * 0.5 / 276.15), 1e-4);
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
  EXPECT_LT(result.budget.density, 0.3 * out.budget.density);
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

TEST(Analyse, DropsStationsThatNoLogarithmTakesAndKeepsThemListed) {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  const RunResult before = analyse(run);
  StationRecord wrong_way = run.directions[0].stations[0];
  wrong_way.pressure_mean_pa = 3;
  StationRecord no_flow = run.directions[0].stations[1];
  no_flow.flow_mean_m3_s = 0;
  StationRecord lost = run.directions[0].stations[2];
  lost.pressure_mean_pa = std::numeric_limits<double>::quiet_NaN();
  for (const StationRecord& s : {wrong_way, no_flow, lost}) run.directions[0].stations.push_back(s);

  const RunResult after = analyse(run);

  EXPECT_EQ(after.directions[0].stations.size(), 13U);
  EXPECT_EQ(after.q_ref_m3_s, before.q_ref_m3_s);
  EXPECT_EQ(after.directions[0].standard, before.directions[0].standard);
}

TEST(Analyse, OfExactCalmDataStaysFiniteAndKeepsTheResolutionTerms) {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  run.directions[0].before = worked_example::baseline(0, 0, 0);
  run.directions[0].after = worked_example::baseline(0, 0, 1);
  for (StationRecord& s : run.directions[0].stations) {
    s.flow_mean_m3_s = 0.05 * std::pow(-s.pressure_mean_pa, 0.65);
    s.flow_mean_se_m3_s = s.pressure_mean_se_pa = s.flow_k_relative_u = 0;
  }

  const DirectionResult d = analyse(run).directions[0];

  EXPECT_NEAR(d.own.n.value, 0.65, 1e-12);
  expect_inside(d.own.q_ref_m3_s);
  EXPECT_GT(d.budget.scatter, 1e-4);
  EXPECT_NEAR(d.own.r2, 1, 1e-12);
  for (const StationResult& s : d.stations) EXPECT_NEAR(s.residual, 0, 1e-12);
}

TEST(Analyse, OfASinglePointTakesTheAssumedExponentWithItsPrice) {
  RunRecord run = single_point_run();
  const RunResult near = analyse(run);
  run.directions[0].stations[0].pressure_mean_pa = -26.895;  // 25 Pa induced
  const RunResult far = analyse(run);

  EXPECT_TRUE(near.computed);
  EXPECT_TRUE(near.valid);
  EXPECT_EQ(near.n.value, 0.65);
  // The exponent also decides how cold the air that enters is allowed to count.
  const double air = std::log(near.directions[0].density_outdoor_kg_m3 / 1.2040975);
  EXPECT_NEAR(near.budget.exponent, 0.06 * std::abs(std::log(50 / 49.605) - air), 1e-8);
  EXPECT_NEAR(far.budget.exponent, 0.06 * std::abs(std::log(2) - air), 1e-8);
  EXPECT_TRUE(far.directions[0].extrapolated);
  expect_inside(far.directions[0].standard.q_ref_m3_s);
  // Down to 4 Pa the exponent alone costs 0.06 ln(12.5) = 15 %.
  EXPECT_GT(relative_half_width(near.ela4_m2), 1.9 * 0.15);
}

TEST(Analyse, AveragesRepeatsOfASinglePoint) {
  RunRecord run = single_point_run();
  const StationRecord one = run.directions[0].stations[0];
  for (int i = 0; i < 4; ++i) {
    run.directions[0].stations.push_back(one);
    run.directions[0].stations.back().flow_mean_m3_s *= 1 + 0.004 * (i - 2);
  }

  const RunResult result = analyse(run);

  const FitResult& standard = result.directions[0].standard_env;
  EXPECT_TRUE(result.valid);
  EXPECT_EQ(standard.degrees_of_freedom, 4);
  EXPECT_GT(standard.residual_s, 0.002);
  expect_inside(standard.q_ref_m3_s);
  EXPECT_LT(result.budget.scatter, 0.005);
  EXPECT_EQ(result.directions[0].own.r2, 0);
}

TEST(Analyse, MeetsTheFixedExponentFitOfTheWorkedExample) {
  RunRecord run = worked_example::run();
  run.procedure.fit = FitMethod::fixed_exponent;

  const RunResult result = analyse(run);

  // Computed apart: mean of ln q - 0.65 ln p, at the leak's air.
  expect_relative(in_m3_h(result.directions[0].standard_env.q_ref_m3_s.value), 1461.63352, 1e-7);
  expect_relative(in_m3_h(result.directions[1].standard_env.q_ref_m3_s.value), 1625.68804, 1e-7);
}

TEST(Analyse, OfTooFewStationsAssumesAnExponentAndIsNotValid) {
  for (const std::size_t count : {1U, 2U}) {
    RunRecord run = worked_example::run_of(worked_example::depressurization());
    while (run.directions[0].stations.size() > count) run.directions[0].stations.pop_back();

    const RunResult result = analyse(run);

    EXPECT_TRUE(result.computed);
    EXPECT_FALSE(result.valid);
    EXPECT_FALSE(result.directions[0].own.valid);
    EXPECT_EQ(result.n.value, 0.65);
    expect_inside(result.q_ref_m3_s);
  }
}

TEST(Analyse, OfAPlannedTwoPointTestFindsTheExponent) {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  run.procedure.stations_pa.clear();
  for (const double pa : {50.0, 12.5}) run.procedure.stations_pa.push_back(pa);
  auto& stations = run.directions[0].stations;
  const StationRecord high = stations[2];
  const StationRecord low = stations[9];
  stations.clear();
  stations.push_back(high);
  stations.push_back(low);

  const RunResult result = analyse(run);

  const double ratio_n = std::log(1541.0 / 671.0) / std::log(49.605 / 14.905);
  EXPECT_TRUE(result.valid);
  EXPECT_NEAR(result.n.value, ratio_n, 1e-12);
  EXPECT_NEAR(result.directions[0].standard.n.value, ratio_n, 1e-12);
  expect_inside(result.directions[0].standard.n);
  expect_inside(result.q_ref_m3_s);
}

TEST(Analyse, OfStationsAtOnePressureDoesNotTrustTheirExponent) {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  for (std::size_t i = 0; i < 10; ++i)
    run.directions[0].stations[i].pressure_mean_pa = -50 - 0.01 * static_cast<double>(i);

  const RunResult result = analyse(run);

  EXPECT_EQ(result.n.value, 0.65);
  EXPECT_FALSE(result.valid);
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

TEST(Analyse, WithoutAZeroFlowPressureOrStationsComputesNothing) {
  RunRecord no_baseline = worked_example::run_of(worked_example::depressurization());
  no_baseline.directions[0].before.taken = no_baseline.directions[0].after.taken = false;
  RunRecord no_stations = worked_example::run_of(worked_example::depressurization());
  no_stations.directions[0].stations.clear();

  for (const RunRecord& run : {no_baseline, no_stations, RunRecord{}}) {
    const RunResult result = analyse(run);
    EXPECT_FALSE(result.computed);
    EXPECT_FALSE(result.valid);
    EXPECT_FALSE(result.q_ref_m3_s.known);
  }
}

TEST(Analyse, TakesTheDirectionThatWorkedWhenTheOtherDidNot) {
  RunRecord run = worked_example::run();
  run.directions[0].stations.clear();

  const RunResult result = analyse(run);

  EXPECT_TRUE(result.computed);
  EXPECT_FALSE(result.valid);
  EXPECT_EQ(result.q_ref_m3_s, result.directions[1].own.q_ref_m3_s);
}

TEST(Analyse, OfAnyNumbersNeverCrashesAndNeverStatesAnEmptyInterval) {
  std::mt19937 rng(22);
  std::uniform_real_distribution<double> any(-80, 80);
  std::uniform_int_distribution<int> count(0, 24);
  std::uniform_int_distribution<int> die(0, 9);
  for (int k = 0; k < 3000; ++k) {
    RunRecord run = worked_example::run();
    for (DirectionRecord& d : run.directions) {
      d.stations.clear();
      for (int i = count(rng); i > 0; --i) {
        StationRecord s;
        s.pressure_mean_pa = die(rng) == 0 ? std::numeric_limits<double>::infinity() : any(rng);
        s.flow_mean_m3_s = die(rng) == 0 ? 1e-300 : 0.1 * any(rng);
        s.pressure_mean_se_pa = die(rng) == 0 ? std::numeric_limits<double>::quiet_NaN() : std::abs(any(rng));
        s.flow_mean_se_m3_s = 0.01 * any(rng);
        s.restriction = die(rng) - 1;
        d.stations.push_back(s);
      }
    }

    const RunResult result = analyse(run);

    if (result.computed) {
      EXPECT_LE(result.q_ref_m3_s.low, result.q_ref_m3_s.value);
      EXPECT_GE(result.q_ref_m3_s.high, result.q_ref_m3_s.value);
    }
  }
}

}  // namespace
}  // namespace leeward::control
