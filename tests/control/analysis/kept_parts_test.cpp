#include <gtest/gtest.h>

#include <cmath>

#include "control/analysis/analyse.hpp"
#include "control/analysis/gls_fit.hpp"
#include "control/analysis/kept_parts.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

/// The first five stations of the worked example are kept from a part whose pressures all read `by_pa` more.
RunRecord in_two_parts(double by_pa) {
  RunRecord run = worked_example::run();
  DirectionRecord& direction = run.directions[0];
  KeptPart part{direction.before, run.conditions};
  part.before.mean_pa = 0.5 * (direction.before.mean_pa + direction.after.mean_pa) + by_pa;
  direction.kept.push_back(part);
  for (std::size_t i = 0; i < 5; ++i) {
    direction.stations[i].part = 1;
    direction.stations[i].pressure_mean_pa += by_pa;
  }
  return run;
}

TEST(Levelled, KeepsWhatEachPartInduced) {
  const RunResult whole = analyse(worked_example::run());
  const RunResult parts = analyse(in_two_parts(4));
  for (std::size_t i = 0; i < 10; ++i) {
    const StationResult& was = whole.directions[0].stations[i];
    const StationResult& is = parts.directions[0].stations[i];
    EXPECT_NEAR(is.induced_pa, was.induced_pa, 1e-12) << i;
    EXPECT_NEAR(is.measured_pa, was.measured_pa + (i < 5 ? 4 : 0), 1e-12) << i;
  }
  EXPECT_NEAR(parts.directions[0].standard.q_ref_m3_s.value, whole.directions[0].standard.q_ref_m3_s.value,
              1e-12);
}

TEST(Levelled, TurnsTheFlowOfEachPartWithItsOwnAir) {
  RunRecord run = in_two_parts(0);
  run.directions[0].kept[0].conditions.outdoor_c = -10;
  const RunResult result = analyse(run);
  const SiteAir then = site_air(run.directions[0].kept[0].conditions);
  const Direction out = Direction::depressurize;
  const double factor =
      meter_factor(out, then, kg_per_m3(run.calibration_density_kg_m3)) * leak_factor(out, then);
  const StationResult& kept = result.directions[0].stations[0];
  EXPECT_NEAR(kept.flow_m3_s / kept.flow_read_m3_s, factor, 1e-12);
  EXPECT_EQ(kept.flow_read_m3_s, run.directions[0].stations[0].flow_mean_m3_s);
}

TEST(Levelled, LeavesARecordInOnePartAsItIs) {
  const RunRecord run = worked_example::run();
  EXPECT_EQ(levelled(run.directions[0], run), run.directions[0]);
  EXPECT_FALSE(has_parts(run));
}

GlsPoints points_on_a_line(double kept_off_pa) {
  GlsPoints points;
  for (int i = 0; i < 10; ++i) {
    const double pressure_pa = 60.0 - 5 * i;
    const int part = i < 4 ? 1 : 0;
    points.push_back({.pressure_pa = pressure_pa + (part == 1 ? kept_off_pa : 0),
                      .flow_m3_s = 0.02 * std::pow(pressure_pa, 0.65),
                      .u_pressure_pa = 0.1,
                      .u_flow_frac = 0.003,
                      .part = part,
                      .u_part_zero_pa = 0.4});
  }
  return points;
}

TEST(GlsFit, KnowsWhatTheZeroFlowErrorOfAKeptPartDoesToTheCurve) {
  constexpr double zero_u_pa = 0.3;
  constexpr double off_pa = 1e-4;
  const GlsFit fit = gls_fit(points_on_a_line(0), zero_u_pa);
  const GlsFit moved = gls_fit(points_on_a_line(-off_pa), zero_u_pa);

  // A zero-flow pressure that is off by its whole uncertainty moves the curve so far; to first order.
  EXPECT_NEAR((moved.curve.ln_c - fit.curve.ln_c) / off_pa * 0.4, -fit.curve.u.baseline[1].ln_c, 1e-4);
  EXPECT_NEAR((moved.curve.n - fit.curve.n) / off_pa * 0.4, -fit.curve.u.baseline[1].n, 1e-4);
  EXPECT_NE(fit.curve.u.baseline[0].n, 0);
}

TEST(Diagnosis, SeesTheLastPartAlone) {
  const RunRecord run = in_two_parts(4);
  EXPECT_EQ(last_part(run).directions[0].stations.size(), 5U);
  EXPECT_TRUE(last_part(run).directions[0].kept.empty());
  EXPECT_EQ(stations_before_last_part(run.directions[0]), 5);
  EXPECT_EQ(last_part(analyse(run)).directions[0].stations.size(), 5U);
}

}  // namespace
}  // namespace leeward::control
