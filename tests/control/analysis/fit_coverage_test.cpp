// How often the fits' 95 % intervals hold the truth, against a simulation made apart.
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "control/analysis/gls_fit.hpp"
#include "control/analysis/intervals.hpp"
#include "control/analysis/standard_fit.hpp"

namespace leeward::control {
namespace {

struct CoverageCount {
  double ols = 0;
  double weighted = 0;
};

/// Exponent 0.65, 25 to 60 Pa in 8 stations of 30 s, zero-flow readings of 60 s before and after, gusts of a
/// time scale of 8 s, flow noise of 1 %.
CoverageCount covered_q50(double gusts_pa, int tests) {
  constexpr double true_c = 0.03;
  constexpr double true_n = 0.65;
  const double true_q50 = true_c * std::pow(50, true_n);
  const double u_station = gusts_pa * std::sqrt(2 * 8.0 / 30);
  const double u_baseline = gusts_pa * std::sqrt(2 * 8.0 / 120);
  ProcedureSpec procedure;
  std::mt19937_64 rng(20240504);
  std::normal_distribution<double> normal;
  CoverageCount count;
  for (int k = 0; k < tests; ++k) {
    const double shared = u_baseline * normal(rng);
    GlsPoints points;
    for (double pa = 25; pa <= 60; pa += 5)
      points.push_back({.pressure_pa = pa + shared + u_station * normal(rng),
                        .flow_m3_s = true_c * std::pow(pa, true_n) * (1 + 0.01 * normal(rng)),
                        .u_pressure_pa = u_station,
                        .u_flow_frac = 0.01});
    const Interval ols = standard_fit(points, procedure).q_ref_m3_s;
    const Interval weighted = flow_interval(gls_fit(points, u_baseline).curve, 50, 0.95);
    count.ols += ols.low <= true_q50 && true_q50 <= ols.high ? 1.0 / tests : 0;
    count.weighted += weighted.low <= true_q50 && true_q50 <= weighted.high ? 1.0 / tests : 0;
  }
  return count;
}

// Computed apart, 20 000 tests each: at 2 Pa of gusts unweighted regression holds 0.91, the weighted fit with
// its zero-flow term 0.949. Ours scales its scatter up where the stations show more than stated, and so holds
// more.
TEST(FitCoverage, IsWhatASimulationMadeApartSays) {
  const CoverageCount at_2_pa = covered_q50(2, 10000);

  EXPECT_NEAR(at_2_pa.ols, 0.91, 0.01);
  EXPECT_NEAR(at_2_pa.weighted, 0.949, 0.02);
  EXPECT_GE(at_2_pa.weighted, 0.939);
}

}  // namespace
}  // namespace leeward::control
