#include "control/physics/moist_air.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::control {
namespace {

/// The second way: CIPM-2007 (Picard, Davis, Glaeser, Fujii, Metrologia 45 (2008) 149-155) at 400 ppm CO2.
double cipm_2007_density_kg_m3(double t_c, double p_pa, double rh_frac) {
  const double t_k = t_c + 273.15;
  const double molar_dry = 28.96546e-3;
  const double molar_water = 18.01528e-3;
  const double saturation_pa =
      std::exp(1.2378847e-5 * t_k * t_k - 1.9121316e-2 * t_k + 33.93711047 - 6.3431645e3 / t_k);
  const double enhancement = 1.00062 + 3.14e-8 * p_pa + 5.6e-7 * t_c * t_c;
  const double x_v = rh_frac * enhancement * saturation_pa / p_pa;
  const double a = 1.58123e-6 - 2.9331e-8 * t_c + 1.1043e-10 * t_c * t_c;
  const double b = 5.707e-6 - 2.051e-8 * t_c;
  const double c = 1.9898e-4 - 2.376e-6 * t_c;
  const double p_over_t = p_pa / t_k;
  const double z =
      1 - p_over_t * (a + b * x_v + c * x_v * x_v) + p_over_t * p_over_t * (1.83e-11 - 0.765e-8 * x_v * x_v);
  return p_pa * molar_dry / (z * 8.314472 * t_k) * (1 - x_v * (1 - molar_water / molar_dry));
}

struct MoistAirRow {
  double t_c, p_pa, rh_frac, cipm_kg_m3, ideal_kg_m3;
};

// Computed here from the published formulas (see cipm_2007_density_kg_m3 and moist_air.hpp); the first
// row is also the density that ASTM E779 prints for 20 degrees C at sea level.
constexpr MoistAirRow kMoistAirRows[] = {
    {20, 101325, 0.0, 1.204557, 1.204097},  {20, 101325, 0.5, 1.199314, 1.198858},
    {15, 101325, 0.0, 1.225521, 1.224991},  {0, 101325, 0.0, 1.293049, 1.292261},
    {-10, 101325, 0.8, 1.341228, 1.340219}, {30, 101325, 0.6, 1.153677, 1.153343},
    {23, 101325, 0.5, 1.186084, 1.185669},  {20, 100000, 0.5, 1.183557, 1.183112},
    {20, 89874.6, 0.5, 1.063147, 1.062787}, {20, 84556, 0.4, 1.000950, 1.000631},
};

double moist_air_kg_m3(const MoistAirRow& row) {
  return moist_air_density(celsius(row.t_c), pascals_absolute(row.p_pa), row.rh_frac).si();
}

TEST(MoistAirDensity, MeetsTheTabulatedIdealMixture) {
  for (const MoistAirRow& row : kMoistAirRows)
    EXPECT_NEAR(moist_air_kg_m3(row), row.ideal_kg_m3, 1e-6) << row.t_c << " C, " << row.p_pa << " Pa";
}

TEST(MoistAirDensity, OfDryAirAtTwentyDegreesIsTheReferenceDensity) {
  // ASTM E779 prints 1.2041 kg/m3.
  EXPECT_NEAR(moist_air_density(celsius(20), pascals_absolute(101325), 0).si(), 1.20410, 1e-5);
}

TEST(MoistAirDensity, AgreesWithCipm2007WithinTheCompressibilityLeftOut) {
  for (const MoistAirRow& row : kMoistAirRows) {
    const double cipm = cipm_2007_density_kg_m3(row.t_c, row.p_pa, row.rh_frac);
    EXPECT_NEAR(cipm, row.cipm_kg_m3, 1e-6);
    EXPECT_LT(std::abs(moist_air_kg_m3(row) / cipm - 1), 8e-4);
  }
  // OIML R 111 short form, 1.199294 at 20 C, 101325 Pa, 50 % (from memory; it states 2e-4 relative).
  EXPECT_NEAR(cipm_2007_density_kg_m3(20, 101325, 0.5), 1.199294, 2.1e-5);
}

TEST(MoistAirDensity, FallsWithHumidityAndTemperatureAndGrowsWithPressure) {
  const auto rho = [](double t_c, double p_pa, double rh_frac) {
    return moist_air_density(celsius(t_c), pascals_absolute(p_pa), rh_frac);
  };

  EXPECT_LT(rho(20, 101325, 1.0), rho(20, 101325, 0.0));
  EXPECT_LT(rho(25, 101325, 0.5), rho(20, 101325, 0.5));
  EXPECT_LT(rho(20, 90000, 0.5), rho(20, 101325, 0.5));
}

TEST(AirViscosity, FollowsSutherlandsLaw) {
  // Computed here from the formula of ASTM E779; 1.716e-5 and 1.813e-5 are also common table values.
  constexpr double rows[][2] = {{-20, 1.61533e-5}, {-10, 1.66615e-5}, {0, 1.71608e-5}, {10, 1.76515e-5},
                                {20, 1.81341e-5},  {30, 1.86087e-5},  {40, 1.90757e-5}};
  for (const auto& row : rows) EXPECT_NEAR(air_viscosity(celsius(row[0])).si() / row[1], 1, 1e-5);
}

}  // namespace
}  // namespace leeward::control
