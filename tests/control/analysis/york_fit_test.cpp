#include "tests/control/analysis/york_fit.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "control/analysis/analyse.hpp"
#include "control/analysis/gls_fit.hpp"
#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

/// K. Pearson's data with D. York's weights.
std::vector<YorkPoint> pearson_york() {
  const std::vector<double> x{0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4};
  const std::vector<double> y{5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5};
  const std::vector<double> weight_x{1000, 1000, 500, 800, 200, 80, 60, 20, 1.8, 1};
  const std::vector<double> weight_y{1, 1.8, 4, 8, 20, 20, 70, 70, 100, 500};
  std::vector<YorkPoint> points;
  for (std::size_t i = 0; i < x.size(); ++i)
    points.push_back({x[i], y[i], 1 / std::sqrt(weight_x[i]), 1 / std::sqrt(weight_y[i])});
  return points;
}

TEST(YorkFit, MeetsPearsonsDataWithYorksWeights) {
  const YorkFit fit = york_fit(pearson_york());

  ASSERT_TRUE(fit.ok);
  // J. H. Williamson, Can. J. Phys. 46 (1968) 1845, as quoted in the kmpfit tutorial of the Kapteyn package.
  EXPECT_NEAR(fit.intercept, 5.47991022403, 1e-10);
  EXPECT_NEAR(fit.slope, -0.48053340745, 1e-10);
  // D. York et al., Am. J. Phys. 72 (2004) 367.
  EXPECT_NEAR(fit.intercept_se, 0.294971, 1e-6);
  EXPECT_NEAR(fit.slope_se, 0.057985, 1e-6);
  // Computed apart with an orthogonal-distance regression.
  EXPECT_NEAR(fit.chi2 / fit.degrees_of_freedom, 1.483294149, 1e-8);
  EXPECT_NEAR(fit.covariance, -0.016472545, 1e-8);
}

TEST(YorkFit, MeetsTheDataOfOrthogonalDistanceRegression) {
  std::vector<YorkPoint> points = pearson_york();
  const std::vector<double> u_x{.03, .03, .04, .035, .07, .11, .13, .22, .74, 1};
  const std::vector<double> u_y{1, .74, .5, .35, .22, .22, .12, .12, .1, .04};
  for (std::size_t i = 0; i < points.size(); ++i) {
    points[i].u_x = u_x[i];
    points[i].u_y = u_y[i];
  }

  const YorkFit fit = york_fit(points);

  // Tests of SciPy's odr module, whose iteration ends at about 1e-5.
  EXPECT_NEAR(fit.intercept, 5.4767400299, 1e-5);
  EXPECT_NEAR(fit.slope, -0.4796082368, 1e-5);
  // The least of chi-square by golden section, computed apart.
  EXPECT_NEAR(fit.intercept, 5.4767377, 1e-7);
  EXPECT_NEAR(fit.slope, -0.4796077731, 1e-8);
}

std::vector<YorkPoint> in_logarithms(const GlsPoints& points) {
  std::vector<YorkPoint> out;
  for (const GlsPoint& p : points)
    out.push_back(
        {std::log(p.pressure_pa), std::log(p.flow_m3_s), p.u_pressure_pa / p.pressure_pa, p.u_flow_frac});
  return out;
}

GlsPoints example_points(const DirectionResult& d) {
  GlsPoints points;
  for (const StationResult& s : d.stations)
    points.push_back({.pressure_pa = s.induced_pa,
                      .flow_m3_s = s.flow_m3_s,
                      .u_pressure_pa = std::hypot(0.4, 0.005 * s.induced_pa),
                      .u_flow_frac = 0.015});
  return points;
}

TEST(YorkFit, MeetsTheWorkedExample) {
  const RunResult result = analyse(worked_example::run());
  const YorkFit out = york_fit(in_logarithms(example_points(result.directions[0])));
  const YorkFit in = york_fit(in_logarithms(example_points(result.directions[1])));

  // Computed apart for the worked example, see worked_example.hpp.
  EXPECT_NEAR(out.slope, 0.6840825, 1e-7);
  EXPECT_NEAR(out.slope_se, 0.0142551, 1e-7);
  EXPECT_NEAR(3600 * std::exp(out.intercept), 101.962851, 1e-5);
  EXPECT_NEAR(in.slope, 0.6719912, 1e-7);
  EXPECT_NEAR(in.slope_se, 0.0141832, 1e-7);
}

TEST(YorkFit, RefusesWhatGivesNoLine) {
  std::vector<YorkPoint> points = pearson_york();
  points[3].u_x = 0;
  EXPECT_FALSE(york_fit(points).ok);
  points = pearson_york();
  for (YorkPoint& p : points) p.x = 2;
  EXPECT_FALSE(york_fit(points).ok);
  EXPECT_FALSE(york_fit(std::vector<YorkPoint>(points.begin(), points.begin() + 2)).ok);
}

/// Differential. The effective variance does not move the points along their errors, so that its exponent
/// comes out lower by a part of its uncertainty that grows with the errors of the pressures: below 0.15 up to
/// 0.5 Pa, below 0.25 up to 0.9 Pa.
TEST(GlsFit, AgreesWithYorkWithinASmallPartOfItsUncertainty) {
  std::mt19937 rng(20240503);
  std::normal_distribution<double> normal;
  for (int k = 0; k < 300; ++k) {
    const double n = 0.55 + 0.002 * (k % 100);
    const double u_pa = 0.4 + 0.01 * (k % 50);
    GlsPoints points;
    for (double pa = 25; pa <= 60; pa += 5) {
      points.push_back({.pressure_pa = pa + u_pa * normal(rng),
                        .flow_m3_s = 0.03 * std::pow(pa, n) * std::exp(0.01 * normal(rng)),
                        .u_pressure_pa = u_pa,
                        .u_flow_frac = 0.01});
    }
    const YorkFit york = york_fit(in_logarithms(points));
    const GlsFit gls = gls_fit(points, 0);
    ASSERT_TRUE(york.ok && gls.ok);
    const double scatter = std::sqrt(std::fmax(1.0, york.chi2 / york.degrees_of_freedom));

    EXPECT_NEAR(gls.curve.n, york.slope, (u_pa < 0.5 ? 0.15 : 0.25) * scatter * york.slope_se) << k;
    EXPECT_NEAR(std::sqrt(gls.curve.u.scatter.stated.nn), york.slope_se, 0.05 * york.slope_se) << k;
  }
}

}  // namespace
}  // namespace leeward::control
