#include "control/analysis/gls_fit.hpp"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "control/analysis/metrics.hpp"

namespace leeward::control {
namespace {

// Worked example, depressurization: induced pressure and flow through the envelope in m3/h, invented here.
constexpr double kGlsInduced[] = {59.905, 54.205, 49.605, 44.405, 39.805,
                                  34.505, 30.005, 24.605, 19.705, 14.905};
constexpr double kGlsFlow[] = {1662.2154, 1570.6123, 1470.4213, 1366.4136, 1269.0852,
                               1158.3981, 1046.7568, 917.9399,  780.5351,  640.2678};

/// u(p) = sqrt(0.4^2 + (0.005 p)^2) Pa, u(q) = 1.5 %, and a shared scale.
GlsPoints gls_example(double u_scale_frac) {
  GlsPoints points;
  for (std::size_t i = 0; i < std::size(kGlsInduced); ++i)
    points.push_back({.pressure_pa = kGlsInduced[i],
                      .flow_m3_s = kGlsFlow[i] / 3600,
                      .u_pressure_pa = std::hypot(0.4, 0.005 * kGlsInduced[i]),
                      .u_flow_frac = 0.015,
                      .restriction = 0,
                      .u_scale_frac = u_scale_frac});
  return points;
}

double u_ln_flow_at(const GlsFit& fit, double pressure_pa) {
  return budget_of(fit.curve.u, form_ln_flow_at(pressure_pa)).total;
}

double flow_m3_h_at(const GlsFit& fit, double pressure_pa) {
  return 3600 * std::exp(fit.curve.ln_c + fit.curve.n * std::log(pressure_pa));
}

TEST(GlsFit, WithoutSharedErrorsIsTheEffectiveVarianceFit) {
  const GlsFit fit = gls_fit(gls_example(0), 0);

  // Computed apart by iterated weights.
  ASSERT_TRUE(fit.ok);
  EXPECT_NEAR(fit.curve.n, 0.6839982, 1e-7);
  EXPECT_NEAR(3600 * std::exp(fit.curve.ln_c), 101.993985, 1e-4);
  EXPECT_NEAR(budget_of(fit.curve.u, kFormN).total, 0.0142889, 1e-7);
  EXPECT_NEAR(u_ln_flow_at(fit, 50), 0.0069860, 1e-7);
  EXPECT_NEAR(flow_m3_h_at(fit, 50), 1481.38152, 1e-3);
  EXPECT_NEAR(fit.chi2_reduced, 0.11397, 1e-5);
  EXPECT_EQ(fit.scatter_scale, 1);
}

TEST(GlsFit, CarriesTheSharedZeroFlowError) {
  const GlsFit fit = gls_fit(gls_example(0), 0.3);

  // Computed apart with the full covariance.
  EXPECT_NEAR(fit.curve.n, 0.6834804, 1e-7);
  EXPECT_NEAR(3600 * std::exp(fit.curve.ln_c), 102.232226, 1e-4);
  EXPECT_NEAR(flow_m3_h_at(fit, 50), 1481.83715, 1e-3);
  EXPECT_NEAR(u_ln_flow_at(fit, 50), 0.0080367, 1e-7);
  EXPECT_NEAR(flow_m3_h_at(fit, 4), 263.68414, 1e-3);
  EXPECT_NEAR(u_ln_flow_at(fit, 4), 0.0385952, 1e-7);
}

TEST(GlsFit, CarriesASharedScaleWithoutMovingTheEstimate) {
  const GlsFit without = gls_fit(gls_example(0), 0.3);
  const GlsFit with = gls_fit(gls_example(0.03), 0.3);

  EXPECT_NEAR(with.curve.n, without.curve.n, 1e-10);
  EXPECT_NEAR(with.curve.ln_c, without.curve.ln_c, 1e-9);
  // Computed apart with the full covariance.
  EXPECT_NEAR(u_ln_flow_at(with, 50), 0.0310578, 1e-7);
  EXPECT_NEAR(u_ln_flow_at(with, 4), 0.0488834, 1e-7);
}

TEST(GlsFit, SharesTheScaleWithinARestrictionOnly) {
  GlsPoints points = gls_example(0.03);
  for (std::size_t i = 5; i < points.size(); ++i) points[i].restriction = 1;

  const GlsFit fit = gls_fit(points, 0.3);
  const GlsFit one = gls_fit(gls_example(0.03), 0.3);

  // Two independent scales leave the exponent open to their difference.
  EXPECT_GT(budget_of(fit.curve.u, kFormN).calibration, 0.005);
  EXPECT_LT(budget_of(one.curve.u, kFormN).calibration, 1e-9);
  EXPECT_GT(budget_of(fit.curve.u, kFormN).total, 1.2 * budget_of(one.curve.u, kFormN).total);
}

/// The second way: textbook normal equations in extended precision with an explicit inverse.
struct DenseAnswer {
  double ln_c, n, u_ln_c, u_n;
};

DenseAnswer dense_gls(const GlsPoints& points, double u_baseline_pa, double n_of_weights,
                      double scatter_scale) {
  using Wide = Eigen::Matrix<long double, Eigen::Dynamic, Eigen::Dynamic>;
  const auto count = static_cast<Eigen::Index>(points.size());
  Wide v(count, count);
  Wide x(count, 2);
  Wide y(count, 1);
  for (Eigen::Index i = 0; i < count; ++i) {
    const GlsPoint& a = points[static_cast<std::size_t>(i)];
    x(i, 0) = 1;
    x(i, 1) = std::log(static_cast<long double>(a.pressure_pa));
    y(i, 0) = std::log(static_cast<long double>(a.flow_m3_s));
    for (Eigen::Index j = 0; j < count; ++j) {
      const GlsPoint& b = points[static_cast<std::size_t>(j)];
      v(i, j) = std::pow(n_of_weights * u_baseline_pa, 2) / (a.pressure_pa * b.pressure_pa);
      if (a.restriction == b.restriction) v(i, j) += a.u_scale_frac * b.u_scale_frac;
      if (i == j)
        v(i, j) += scatter_scale *
                   (std::pow(a.u_flow_frac, 2) + std::pow(n_of_weights * a.u_pressure_pa / a.pressure_pa, 2));
    }
  }
  const Wide weights = v.inverse();
  const Wide cov = Wide(x.transpose() * weights * x).inverse();
  const Wide theta = cov * x.transpose() * weights * y;
  return {static_cast<double>(theta(0, 0)), static_cast<double>(theta(1, 0)),
          static_cast<double>(std::sqrt(cov(0, 0))), static_cast<double>(std::sqrt(cov(1, 1)))};
}

GlsPoints random_gls_points(std::mt19937& rng) {
  std::uniform_real_distribution<double> unit(0, 1);
  std::normal_distribution<double> gauss;
  GlsPoints points;
  const int count = 3 + static_cast<int>(21 * unit(rng));
  const double n = 0.5 + 0.5 * unit(rng);
  const double noise = 0.002 + 0.03 * unit(rng);
  for (int i = 0; i < count; ++i) {
    const double pa = 8 + 60 * unit(rng);
    points.push_back({.pressure_pa = pa,
                      .flow_m3_s = 0.05 * std::pow(pa, n) * std::exp(noise * gauss(rng)),
                      .u_pressure_pa = 0.1 + unit(rng),
                      .u_flow_frac = 0.002 + 0.01 * unit(rng),
                      .restriction = static_cast<int>(3 * unit(rng)),
                      .u_scale_frac = 0.03});
  }
  return points;
}

TEST(GlsFit, AgreesWithDenseNormalEquations) {
  std::mt19937 rng(11);
  for (int k = 0; k < 300; ++k) {
    const GlsPoints points = random_gls_points(rng);

    const GlsFit fit = gls_fit(points, 0.4);
    const DenseAnswer dense = dense_gls(points, 0.4, fit.curve.n, fit.scatter_scale);

    ASSERT_TRUE(fit.ok);
    EXPECT_NEAR(fit.curve.n, dense.n, 1e-9);
    EXPECT_NEAR(fit.curve.ln_c, dense.ln_c, 1e-8);
    EXPECT_NEAR(budget_of(fit.curve.u, kFormN).total / dense.u_n, 1, 1e-7);
    EXPECT_NEAR(budget_of(fit.curve.u, kFormLnC).total / dense.u_ln_c, 1, 1e-7);
  }
}

TEST(GlsFit, ScalesTheScatterUntilChiSquareMeetsItsDegreesOfFreedom) {
  GlsPoints points = gls_example(0);
  for (std::size_t i = 0; i < points.size(); ++i) points[i].flow_m3_s *= i % 2 == 0 ? 1.04 : 0.96;

  const GlsFit fit = gls_fit(points, 0);

  EXPECT_GT(fit.chi2_reduced, 2);
  EXPECT_NEAR(fit.scatter_scale, fit.chi2_reduced, 0.02 * fit.chi2_reduced);
  for (GlsPoint& p : points) {
    p.u_pressure_pa *= std::sqrt(fit.scatter_scale);
    p.u_flow_frac *= std::sqrt(fit.scatter_scale);
  }
  EXPECT_NEAR(gls_fit(points, 0).chi2_reduced, 1, 1e-8);
}

TEST(GlsFit, DoesNotCareForTheOrderOfStations) {
  std::mt19937 rng(12);
  for (int k = 0; k < 50; ++k) {
    GlsPoints points = random_gls_points(rng);
    const GlsFit before = gls_fit(points, 0.3);
    std::shuffle(points.begin(), points.end(), rng);

    const GlsFit after = gls_fit(points, 0.3);

    EXPECT_NEAR(after.curve.n, before.curve.n, 1e-10);
    EXPECT_NEAR(after.curve.ln_c, before.curve.ln_c, 1e-9);
    EXPECT_NEAR(u_ln_flow_at(after, 50) / u_ln_flow_at(before, 50), 1, 1e-8);
  }
}

TEST(GlsFit, ThroughTwoPointsHasTheClosedForm) {
  GlsPoints points;
  for (const double pa : {50.0, 12.5})
    points.push_back({.pressure_pa = pa,
                      .flow_m3_s = 0.05 * std::pow(pa, 0.65),
                      .u_pressure_pa = 0.5,
                      .u_flow_frac = 0.02});

  const GlsFit fit = gls_fit(points, 0);

  ASSERT_TRUE(fit.ok);
  EXPECT_NEAR(fit.curve.n,
              two_point_exponent(m3_per_s(points[0].flow_m3_s), pascals(50), m3_per_s(points[1].flow_m3_s),
                                 pascals(12.5)),
              1e-12);
  EXPECT_NEAR(budget_of(fit.curve.u, kFormN).total, 0.028, 5e-4);  // computed apart for 50/12.5 Pa
  EXPECT_EQ(fit.degrees_of_freedom, 0);
}

TEST(GlsFit, OfOnePointTakesTheAssumedExponentAndItsPrice) {
  GlsPoints points;
  points.push_back({.pressure_pa = 32.5, .flow_m3_s = 0.4, .u_pressure_pa = 0.6, .u_flow_frac = 0.025});

  const GlsFit fit = gls_fit(points, 0.8, AssumedExponent{0.65, 0.06});

  ASSERT_TRUE(fit.ok);
  EXPECT_EQ(fit.curve.n, 0.65);
  EXPECT_NEAR(flow_m3_h_at(fit, 50) / 3600,
              single_point_flow(m3_per_s(0.4), pascals(32.5), pascals(50), 0.65).si(), 1e-12);
  EXPECT_NEAR(u_ln_flow_at(fit, 50),
              single_point_u_frac(pascals(32.5), pascals(50), 0.65, 0.025, pascals(1), 0.06), 1e-12);
  EXPECT_NEAR(budget_of(fit.curve.u, kFormN).total, 0.06, 1e-15);
}

TEST(GlsFit, RefusesWhatCannotBeFitted) {
  GlsPoints same = gls_example(0);
  for (GlsPoint& p : same) p.pressure_pa = 50;
  GlsPoints certain = gls_example(0);
  for (GlsPoint& p : certain) p.u_pressure_pa = p.u_flow_frac = 0;
  GlsPoints lost = gls_example(0);
  lost[3].flow_m3_s = std::numeric_limits<double>::quiet_NaN();
  GlsPoints one;
  one.push_back(gls_example(0)[0]);

  EXPECT_FALSE(gls_fit(same, 0.3).ok);
  EXPECT_FALSE(gls_fit(certain, 0.3).ok);
  EXPECT_FALSE(gls_fit(lost, 0.3).ok);
  EXPECT_FALSE(gls_fit(one, 0.3).ok);
  EXPECT_FALSE(gls_fit({}, 0.3, AssumedExponent{}).ok);
}

TEST(GlsFit, TakesAnUnknownRestrictionForTheNearest) {
  GlsPoints points = gls_example(0.03);
  for (GlsPoint& p : points) p.restriction = -1;

  EXPECT_EQ(gls_fit(points, 0.3).curve.n, gls_fit(gls_example(0.03), 0.3).curve.n);
}

}  // namespace
}  // namespace leeward::control
