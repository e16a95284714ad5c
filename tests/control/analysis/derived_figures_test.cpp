#include "control/analysis/derived_figures.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/analysis/analyse.hpp"
#include "control/analysis/metrics.hpp"
#include "control/analysis/wind_bound.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

/// One direction alone, so that the curve of the run is that of the direction.
RunRecord figures_run() { return worked_example::run_of(worked_example::depressurization()); }

double relative_width(const Interval& i) { return std::log(i.high / i.low); }

TEST(DerivedFigures, FollowTheirFormulas) {
  const RunRecord run = figures_run();
  const RunResult r = analyse(run);
  const double c = r.c_m3_s_pan.value;
  const double n = r.n.value;

  // Areas by the orifice law at 1.2041 kg/m3, normalized leakage after ASHRAE 119 and 62.2 (from memory).
  EXPECT_NEAR(r.ela10_m2.value, c * std::sqrt(1.2040975 / 2) * std::pow(10, n - 0.5), 1e-8);
  EXPECT_NEAR(r.eqla10_m2.value, r.ela10_m2.value / 0.611, 1e-12);
  EXPECT_NEAR(r.specific_leakage_cm2_m2.value, 1e4 * r.ela4_m2.value / 240, 1e-9);
  EXPECT_NEAR(r.normalized_leakage_03.value, 1000 * r.ela4_m2.value / 240 * std::pow(5.2 / 2.5, 0.3), 1e-9);
  EXPECT_NEAR(r.normalized_leakage_04.value, 1000 * r.ela4_m2.value / 240 * std::pow(5.2 / 2.5, 0.4), 1e-9);
  EXPECT_NEAR(r.normalized_leakage_cm2_m2.value, 1e4 * r.eqla10_m2.value / 550, 1e-9);
  EXPECT_NEAR(r.flows.q4_m3_s.value, c * std::pow(4, n), 1e-12);
  EXPECT_NEAR(r.flows.q75_m3_s.value, c * std::pow(75, n), 1e-12);
  EXPECT_EQ(r.at_50_pa.n_per_h, r.n50_per_h);
}

TEST(DerivedFigures, CarryTheIntervalOfTheirFlow) {
  const RunResult r = analyse(figures_run());

  EXPECT_NEAR(relative_width(r.ela4_m2), relative_width(r.flows.q4_m3_s), 1e-9);
  EXPECT_NEAR(relative_width(r.normalized_leakage_03), relative_width(r.flows.q4_m3_s), 1e-9);
  EXPECT_NEAR(relative_width(r.ela10_m2), relative_width(r.flows.q10_m3_s), 1e-9);
  EXPECT_GT(relative_width(r.flows.q4_m3_s), relative_width(r.flows.q50_m3_s));
  EXPECT_GT(r.flows.q50_m3_s.upper, r.flows.q50_m3_s.value);
  EXPECT_LT(r.flows.q50_m3_s.upper, r.flows.q50_m3_s.high);
}

TEST(DerivedFigures, AreUnknownWhereTheirSizeIs) {
  RunRecord run = figures_run();
  run.building = {};
  const RunResult r = analyse(run);

  for (const Interval* i : {&r.specific_leakage_cm2_m2, &r.normalized_leakage_03, &r.normalized_leakage_04,
                            &r.normalized_leakage_cm2_m2, &r.at_50_pa.n_per_h, &r.q4_loss_m3_h_m2})
    EXPECT_FALSE(i->known);
  EXPECT_TRUE(r.ela10_m2.known);
  run.building.floor_area_m2 = 240;
  EXPECT_TRUE(analyse(run).specific_leakage_cm2_m2.known);
  EXPECT_FALSE(analyse(run).normalized_leakage_03.known);
}

TEST(DerivedFigures, AreStatedAtFiftyPascalsWhereTheReferenceIsAnother) {
  RunRecord run = figures_run();
  run.procedure.reference_pressure_pa = 75;
  run.building.loss_area_m2 = 400;
  const RunResult r = analyse(run);

  EXPECT_NEAR(r.at_50_pa.qe_m3_h_m2.value, 3600 * r.flows.q50_m3_s.value / 550, 1e-9);
  EXPECT_NEAR(r.qe_m3_h_m2.value, 3600 * r.flows.q75_m3_s.value / 550, 1e-9);
  EXPECT_NEAR(r.q4_loss_m3_h_m2.value, 3600 * r.flows.q4_m3_s.value / 400, 1e-9);
}

TEST(DerivedFigures, StateTheBoundOfTheWindThatWasReported) {
  RunRecord run = figures_run();
  EXPECT_EQ(analyse(run).wind_bound_frac, 0);
  run.conditions.has_wind = true;
  run.conditions.wind_m_s = 6;

  const RunResult windy = analyse(run);
  EXPECT_EQ(windy.wind_bound_frac, wind_bound(6, windy.n.value, 50));
  EXPECT_NEAR(windy.wind_bound_frac, 0.0295, 0.0005);
}

/// Student's factors for 8 degrees of freedom: 2.306004 two-sided, 1.859548 one-sided (tables).
TEST(DerivedFigures, OneSidedBoundOfAStandardFitIsThatOfStudent) {
  const Interval q50 = analyse(figures_run()).directions[0].standard.q_ref_m3_s;

  EXPECT_NEAR(std::log(q50.upper / q50.value) / std::log(q50.high / q50.value), 1.859548 / 2.306004, 1e-6);
}

}  // namespace
}  // namespace leeward::control
