#include "control/analysis/wind_bound.hpp"

#include <gtest/gtest.h>

namespace leeward::control {
namespace {

/// Coefficients +0.6 and -0.3, air of 1.2 kg/m3.
TwoLeaks leaks_in_wind(double windward_share, double wind_m_s) {
  const double pressure_pa = 0.5 * 1.2 * wind_m_s * wind_m_s;
  return {windward_share, 0.65, 0.6 * pressure_pa, -0.3 * pressure_pa};
}

// Two-leak steady-wind model (the class of F. R. Carrie and V. Leprince, AIVC conference 2014); figures
// computed apart from this code, by root finding.
TEST(TwoLeaks, FindTheZeroFlowPressureOfTheModel) {
  EXPECT_NEAR(zero_flow_pressure_pa(leaks_in_wind(0.5, 3)), 0.81, 1e-6);
  EXPECT_NEAR(zero_flow_pressure_pa(leaks_in_wind(0.3, 6)), -2.328186, 1e-6);
  EXPECT_NEAR(zero_flow_pressure_pa(leaks_in_wind(0.3, 10)), -6.467185, 1e-6);
}

TEST(TwoLeaks, ErrByAsMuchAsTheModel) {
  EXPECT_NEAR(wind_error_frac(leaks_in_wind(0.3, 6), -50), 0.018455, 1e-6);
  EXPECT_NEAR(wind_error_frac(leaks_in_wind(0.3, 6), 50), -0.026101, 1e-6);
  EXPECT_NEAR(wind_error_frac(leaks_in_wind(0.5, 3), -10), -0.006825, 1e-6);
  EXPECT_NEAR(wind_error_frac(leaks_in_wind(0.5, 10), 10), -0.535620, 1e-6);
  EXPECT_NEAR(wind_error_frac(leaks_in_wind(0.3, 10), 50), -0.111237, 1e-6);
}

TEST(TwoLeaks, FollowTheirExpansion) {
  EXPECT_NEAR(wind_error_expansion_frac(leaks_in_wind(0.3, 6), -50), 0.018103, 1e-6);
  EXPECT_NEAR(wind_error_expansion_frac(leaks_in_wind(0.3, 6), 50), -0.025582, 1e-6);
}

TEST(TwoLeaks, EvenlySharedErrAlikeInBothDirections) {
  const TwoLeaks even = leaks_in_wind(0.5, 6);

  EXPECT_NEAR(wind_error_frac(even, -50), wind_error_frac(even, 50), 1e-12);
}

// The abstract of Carrie and Leprince 2014 says about 3 % and 35 % at 6 m/s; the further digits are computed
// here.
TEST(WindBound, IsThatOfTheWorstShare) {
  EXPECT_NEAR(wind_bound(6, 0.65, 50), 0.0315, 0.0005);
  EXPECT_NEAR(wind_bound(6, 0.65, 10), 0.360, 0.002);
  EXPECT_NEAR(wind_bound(0, 0.65, 50), 0, 1e-12);
}

TEST(WindBound, GrowsWithTheWind) {
  for (double wind = 1; wind < 12; ++wind)
    EXPECT_GT(wind_bound(wind + 1, 0.65, 50), wind_bound(wind, 0.65, 50)) << wind;
}

}  // namespace
}  // namespace leeward::control
