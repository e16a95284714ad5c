#include "control/analysis/analyse.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

using worked_example::expect_inside;
using worked_example::relative_half_width;

RunRecord single_point_run() {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  run.procedure.fit = FitMethod::fixed_exponent;
  run.procedure.stations_pa.clear();
  run.procedure.stations_pa.push_back(50);
  run.directions[0].stations.clear();
  run.directions[0].stations.push_back(worked_example::depressurization().stations[2]);
  return run;
}

TEST(AnalyseEdge, DropsStationsThatNoLogarithmTakesAndKeepsThemListed) {
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

TEST(AnalyseEdge, OfExactCalmDataStaysFiniteAndKeepsTheResolutionTerms) {
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

TEST(AnalyseEdge, OfASinglePointTakesTheAssumedExponentWithItsPrice) {
  RunRecord run = single_point_run();
  const RunResult near = analyse(run);
  run.directions[0].stations[0].pressure_mean_pa = -26.895;  // 25 Pa induced
  const RunResult far = analyse(run);

  EXPECT_TRUE(near.computed);
  EXPECT_TRUE(near.valid);
  EXPECT_EQ(near.n.value, 0.65);
  // The exponent also decides how the cold air that enters counts: its density, and by Sutherland's law
  // its viscosity, at 3 C against 20 C.
  const auto viscosity = [](double kelvins) { return std::pow(kelvins, 1.5) / (kelvins + 110.4); };
  const double air = std::log(near.directions[0].density_outdoor_kg_m3 / 1.2040975) -
                     2 * std::log(viscosity(276.15) / viscosity(293.15));
  EXPECT_NEAR(near.budget.exponent, 0.06 * std::abs(std::log(50 / 49.605) - air), 1e-8);
  EXPECT_NEAR(far.budget.exponent, 0.06 * std::abs(std::log(2) - air), 1e-8);
  EXPECT_TRUE(far.directions[0].extrapolated);
  expect_inside(far.directions[0].standard.q_ref_m3_s);
  // Down to 4 Pa the exponent alone costs 0.06 ln(12.5) = 15 %.
  EXPECT_GT(relative_half_width(near.ela4_m2), 1.9 * 0.15);
}

TEST(AnalyseEdge, AveragesRepeatsOfASinglePoint) {
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

TEST(AnalyseEdge, OfTooFewStationsAssumesAnExponentAndIsNotValid) {
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

TEST(AnalyseEdge, OfAPlannedTwoPointTestFindsTheExponent) {
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

TEST(AnalyseEdge, OfStationsAtOnePressureDoesNotTrustTheirExponent) {
  RunRecord run = worked_example::run_of(worked_example::depressurization());
  for (std::size_t i = 0; i < 10; ++i)
    run.directions[0].stations[i].pressure_mean_pa = -50 - 0.01 * static_cast<double>(i);

  const RunResult apart = analyse(run);
  for (StationRecord& s : run.directions[0].stations) s.pressure_mean_pa = -50;
  const RunResult equal = analyse(run);

  EXPECT_TRUE(apart.directions[0].standard.valid);
  EXPECT_FALSE(equal.directions[0].standard.valid);
  for (const RunResult& result : {apart, equal}) {
    EXPECT_EQ(result.n.value, 0.65);
    EXPECT_FALSE(result.valid);
    expect_inside(result.q_ref_m3_s);
  }
}

TEST(AnalyseEdge, WithoutAZeroFlowPressureOrStationsComputesNothing) {
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

TEST(AnalyseEdge, TakesTheDirectionThatWorkedWhenTheOtherDidNot) {
  RunRecord run = worked_example::run();
  run.directions[0].stations.clear();

  const RunResult result = analyse(run);

  EXPECT_TRUE(result.computed);
  EXPECT_FALSE(result.valid);
  EXPECT_EQ(result.q_ref_m3_s, result.directions[1].own.q_ref_m3_s);
}

TEST(AnalyseEdge, OfAnyNumbersNeverCrashesAndNeverStatesAnEmptyInterval) {
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

/// Blocks of any numbers, sound ones most of the time.
void put_blocks(WindowBlocks& blocks, double pressure_pa, double flow_m3_s, std::mt19937& rng) {
  std::uniform_real_distribution<double> even(-1, 1);
  std::uniform_int_distribution<int> die(0, 60);
  const double odd[] = {std::numeric_limits<double>::quiet_NaN(),
                        std::numeric_limits<double>::infinity(),
                        0,
                        -1,
                        1e300,
                        -1e300,
                        1e-300};
  const auto any = [&](double usual) {
    return die(rng) == 0 ? odd[rng() % 7] : usual * (1 + 0.2 * even(rng));
  };
  blocks.block_s = die(rng) == 0 ? odd[rng() % 7] : 5;
  for (int i = die(rng) % 17; i > 0; --i)
    blocks.means.push_back({any(pressure_pa), any(flow_m3_s), any(0.1)});
}

TEST(AnalyseEdge, OfAnyBlocksNeverCrashesAndNeverStatesAnEmptyInterval) {
  std::mt19937 rng(23);
  std::uniform_int_distribution<int> die(0, 9);
  int computed = 0;
  for (int k = 0; k < 600; ++k) {
    RunRecord run = worked_example::run();
    run.building.volume_m3 = die(rng) == 0 ? -1 : 400;
    for (DirectionRecord& d : run.directions) {
      put_blocks(d.before.blocks, d.before.mean_pa, 0, rng);
      put_blocks(d.after.blocks, d.after.mean_pa, 0, rng);
      d.before.signal_known = d.after.signal_known = die(rng) > 2;
      d.after.signal_pa = die(rng) == 0 ? std::numeric_limits<double>::quiet_NaN() : 0.1;
      for (StationRecord& s : d.stations) {
        put_blocks(s.blocks, s.pressure_mean_pa, s.flow_mean_m3_s, rng);
        s.begin_ns = static_cast<std::int64_t>(rng());
        s.end_ns = static_cast<std::int64_t>(rng());
      }
    }

    const RunResult result = analyse(run);

    if (!result.computed) continue;
    ++computed;
    for (const Interval& i : {result.q_ref_m3_s, result.n, result.ela4_m2}) {
      EXPECT_LE(i.low, i.value);
      EXPECT_GE(i.high, i.value);
    }
  }
  EXPECT_GT(computed, 300);
}

}  // namespace
}  // namespace leeward::control
