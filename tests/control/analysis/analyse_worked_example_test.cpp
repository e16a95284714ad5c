#include "control/analysis/analyse.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

using worked_example::expect_relative;
using worked_example::in_m3_h;

TEST(AnalyseWorkedExample, MeetsTheWorkedExampleDepressurizing) {
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

TEST(AnalyseWorkedExample, MeetsTheWorkedExamplePressurizing) {
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

TEST(AnalyseWorkedExample, StandardFitsOfBothDirectionsHaveTheKnownMean) {
  const RunResult result = analyse(worked_example::run());
  const double q50_m3_h = in_m3_h(0.5 * (result.directions[0].standard.q_ref_m3_s.value +
                                         result.directions[1].standard.q_ref_m3_s.value));

  // Computed apart: mean flow, air change rate at 600 m3, permeability at 550 m2.
  expect_relative(q50_m3_h, 1558.27176, 1e-6);
  expect_relative(q50_m3_h / 600, 2.597120, 1e-6);
  expect_relative(q50_m3_h / 550, 2.833221, 1e-6);
}

TEST(AnalyseWorkedExample, KeepsTheViscosityWhereTheProcedureDoes) {
  RunRecord run = worked_example::run();
  run.procedure.viscosity_correction = true;

  const RunResult result = analyse(run);

  // Computed apart, viscosity formula of ASTM E779.
  expect_relative(in_m3_h(result.directions[0].standard.c_m3_s_pan.value), 100.118339, 1e-6);
  expect_relative(in_m3_h(result.directions[1].standard.c_m3_s_pan.value), 116.599125, 1e-6);
}

TEST(AnalyseWorkedExample, MovesWithTheZeroFlowPressureAsItsSensitivitySays) {
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

TEST(AnalyseWorkedExample, MeetsTheFixedExponentFitOfTheWorkedExample) {
  RunRecord run = worked_example::run();
  run.procedure.fit = FitMethod::fixed_exponent;

  const RunResult result = analyse(run);

  // Computed apart: mean of ln q - 0.65 ln p, at the leak's air.
  expect_relative(in_m3_h(result.directions[0].standard_env.q_ref_m3_s.value), 1461.63352, 1e-7);
  expect_relative(in_m3_h(result.directions[1].standard_env.q_ref_m3_s.value), 1625.68804, 1e-7);
}

}  // namespace
}  // namespace leeward::control
