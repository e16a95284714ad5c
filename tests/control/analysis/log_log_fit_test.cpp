#include "control/analysis/log_log_fit.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "control/analysis/student_t.hpp"

namespace leeward::control {
namespace {

// NIST Statistical Reference Datasets, linear regression, Norris.
constexpr std::array<double, 36> kNorrisX = {0.2,   337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6,
                                             777.0, 558.2, 0.4,   0.6,   775.5, 666.9, 338.0, 447.5, 11.6,
                                             556.0, 228.1, 995.8, 887.6, 120.2, 0.3,   0.3,   556.8, 339.1,
                                             887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
constexpr std::array<double, 36> kNorrisY = {0.1,   338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1,
                                             778.9, 559.2, 0.3,   0.1,   778.1, 668.8, 339.3, 448.9, 10.8,
                                             557.7, 228.3, 998.0, 888.8, 119.6, 0.3,   0.6,   557.6, 339.3,
                                             888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};

double relative_error(double value, double expected) { return std::abs(value / expected - 1); }

TEST(FitLine, MeetsTheCertifiedNorrisValues) {
  const LineFit line = fit_line(kNorrisX, kNorrisY);

  // Certified by NIST StRD; the covariance is the one in the tests of the GNU Scientific Library.
  EXPECT_LT(relative_error(line.slope, 1.00211681802045), 1e-12);
  EXPECT_LT(relative_error(line.intercept, -0.262323073774029), 1e-11);
  EXPECT_LT(relative_error(line.slope_se, 4.29796848199937e-4), 1e-11);
  EXPECT_LT(relative_error(line.intercept_se, 0.232818234301152), 1e-11);
  EXPECT_LT(relative_error(line.residual_s, 0.884796396144373), 1e-11);
  EXPECT_LT(relative_error(line.r2, 0.999993745883712), 1e-14);
  EXPECT_LT(relative_error(std::pow(line.slope / line.slope_se, 2), 5436385.54079785), 1e-10);
  EXPECT_LT(relative_error(line.slope_intercept_covariance, -7.74327536339570e-05), 1e-10);
}

TEST(FitLine, MeetsThePublishedSlopeInterval) {
  // Example of Moore and McCabe as used in the tests of Apache Commons Math.
  constexpr std::array<double, 9> x = {15.6, 26.8, 37.8, 36.4, 35.5, 18.6, 15.3, 7.9, 0.0};
  constexpr std::array<double, 9> y = {5.2, 6.1, 8.7, 8.5, 8.8, 4.9, 4.5, 2.5, 1.1};

  const LineFit line = fit_line(x, y);

  EXPECT_NEAR(line.slope_se, 0.011448491, 1e-9);
  EXPECT_NEAR(line.intercept_se, 0.286036932, 1e-9);
  EXPECT_NEAR(student_t_two_sided(0.95, line.degrees_of_freedom) * line.slope_se, 0.0270713794, 1e-9);
}

TEST(FitLine, EvaluatesTheLineFarOutsideItsDataWithItsUncertainty) {
  // GUM (JCGM 100:2008) H.3, calibration of a thermometer, reference 20 C, evaluated at 30 C.
  constexpr std::array<double, 11> t_c = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                                          24.513, 25.002, 25.503, 26.010, 26.511};
  constexpr std::array<double, 11> b_c = {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165,
                                          -0.156, -0.157, -0.159, -0.161, -0.160};
  std::array<double, 11> off_c{};
  for (std::size_t i = 0; i < t_c.size(); ++i) off_c[i] = t_c[i] - 20;

  const LineFit line = fit_line(off_c, b_c);

  EXPECT_NEAR(line.at(10), -0.1494, 5e-5);
  EXPECT_NEAR(line.se_at(10), 0.0041, 5e-5);
  EXPECT_NEAR(line.slope_intercept_covariance / (line.slope_se * line.intercept_se), -0.930, 5e-4);
}

TEST(FitLine, MeetsAnscombesFirstSet) {
  constexpr std::array<double, 11> x = {10, 8, 13, 9, 11, 14, 6, 4, 12, 7, 5};
  constexpr std::array<double, 11> y = {8.04, 6.95, 7.58, 8.81, 8.33, 9.96, 7.24, 4.26, 10.84, 4.82, 5.68};

  const LineFit line = fit_line(x, y);

  EXPECT_NEAR(line.slope, 0.500090909, 1e-9);  // F. J. Anscombe 1973, digits computed here
  EXPECT_NEAR(line.intercept, 3.000090909, 1e-9);
  EXPECT_NEAR(line.r2, 0.666542460, 1e-9);
}

TEST(FitLogLog, MeetsAPublishedBuildingFit) {
  // C. Ghiaus, Dynamic Models for Building Energy Management, tutorial A06: table and printed results.
  constexpr std::array<double, 6> dp_pa = {10, 20, 30, 40, 50, 60};
  constexpr std::array<double, 6> q_m3_h = {237, 364, 444, 625, 688, 704};

  const LineFit line = fit_log_log(dp_pa, q_m3_h);

  EXPECT_NEAR(line.slope, 0.6434, 5e-5);
  EXPECT_NEAR(std::exp(line.intercept), 53.3956, 5e-5);
  EXPECT_NEAR(line.r2, 0.9815, 5e-5);
  EXPECT_NEAR(line.slope_se, 0.0442, 5e-5);
  EXPECT_NEAR(std::exp(line.intercept) * line.intercept_se, 8.1475, 5e-5);
  // Interval of the mean response at 50 Pa, computed apart with statsmodels.
  const double x50 = std::log(50);
  const double half = student_t_two_sided(0.95, 4) * line.se_at(x50);
  EXPECT_LT(relative_error(std::exp(line.at(x50) - half), 600.4015), 1e-6);
  EXPECT_LT(relative_error(std::exp(line.at(x50) + half), 729.4070), 1e-6);
}

TEST(FitLogLog, RecoversAnExactPowerLaw) {
  constexpr std::array<double, 8> dp_pa = {10, 15, 20, 25, 30, 40, 50, 60};
  std::array<double, 8> q{};
  for (std::size_t i = 0; i < q.size(); ++i) q[i] = 50 * std::pow(dp_pa[i], 0.65);

  const LineFit line = fit_log_log(dp_pa, q);

  EXPECT_NEAR(std::exp(line.intercept), 50, 50e-10);
  EXPECT_NEAR(line.slope, 0.65, 1e-10);
  EXPECT_NEAR(line.residual_s, 0, 1e-10);
  EXPECT_NEAR(line.r2, 1, 1e-10);
}

TEST(FitLine, OfTwoPointsHasNoScatterAndNoStandardErrors) {
  const LineFit line = fit_line(std::array{1.0, 3.0}, std::array{2.0, 8.0});

  ASSERT_TRUE(line.ok);
  EXPECT_DOUBLE_EQ(line.slope, 3);
  EXPECT_DOUBLE_EQ(line.intercept, -1);
  EXPECT_EQ(line.degrees_of_freedom, 0);
  EXPECT_EQ(line.slope_se, 0);
}

TEST(FitLine, RefusesWhatIsNoLine) {
  const double nan = std::numeric_limits<double>::quiet_NaN();

  EXPECT_FALSE(fit_line(std::array{1.0}, std::array{2.0}).ok);
  EXPECT_FALSE(fit_line(std::array{1.0, 1.0, 1.0}, std::array{2.0, 3.0, 4.0}).ok);
  EXPECT_FALSE(fit_log_log(std::array{50.0, 50.0, 50.0, 50.0, 50.0, 50.0, 50.0},
                           std::array{1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0})
                   .ok);
  EXPECT_FALSE(fit_line(std::array{1.0, 2.0, nan}, std::array{2.0, 3.0, 4.0}).ok);
  EXPECT_FALSE(fit_line(std::array{1.0, 2.0, 3.0}, std::array{2.0, nan, 4.0}).ok);
  EXPECT_FALSE(fit_line(std::array{1.0, 2.0, 3.0}, std::array{2.0, 4.0}).ok);
  EXPECT_FALSE(fit_log_log(std::array{1.0, 2.0, 0.0}, std::array{2.0, 3.0, 4.0}).ok);
}

TEST(FitLine, OfALevelRowHasNoR2) {
  const LineFit line = fit_line(std::array{1.0, 2.0, 3.0}, std::array{4.0, 4.0, 4.0});

  ASSERT_TRUE(line.ok);
  EXPECT_EQ(line.slope, 0);
  EXPECT_EQ(line.r2, 0);
}

}  // namespace
}  // namespace leeward::control
