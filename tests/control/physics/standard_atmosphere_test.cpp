#include "control/physics/standard_atmosphere.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::control {
namespace {

TEST(StandardPressure, MeetsTheTableOfTheStandardAtmosphere) {
  // ISO 2533 table values by geopotential altitude.
  constexpr double rows[][2] = {{0, 101325.0},   {100, 100129.4}, {200, 98945.3},  {300, 97772.6},
                                {500, 95460.8},  {800, 92076.4},  {1000, 89874.6}, {1200, 87715.6},
                                {1500, 84556.0}, {2000, 79495.2}, {2500, 74682.5}, {3000, 70108.5},
                                {4000, 61640.2}, {5000, 54019.9}, {-500, 107477.5}};
  for (const auto& row : rows) EXPECT_NEAR(standard_pressure(row[0]).si(), row[1], 0.1) << row[0] << " m";
}

TEST(StandardPressure, MeetsTheTableByGeometricAltitude) {
  // US Standard Atmosphere 1976.
  constexpr double rows[][2] = {{1000, 89876.3}, {2000, 79501.4}, {3000, 70121.1}, {5000, 54048.3}};
  for (const auto& row : rows)
    EXPECT_NEAR(standard_pressure(geopotential_altitude_m(row[0])).si(), row[1], 0.2) << row[0] << " m";
}

TEST(StandardPressure, AgreesWithTheSecondPublishedForm) {
  // ASHRAE form 101325 (1 - 2.25577e-5 z)^5.2559; 83427.5 Pa at 1609.344 m.
  EXPECT_NEAR(standard_pressure(1609.344).si(), 83427.5, 1);
  for (double z = 0; z <= 3000; z += 250) {
    const double other = 101325 * std::pow(1 - 2.25577e-5 * z, 5.2559);
    EXPECT_NEAR(standard_pressure(z).si(), other, 0.2);
  }
}

TEST(GeopotentialAltitude, IsALittleBelowTheGeometricOne) {
  EXPECT_EQ(geopotential_altitude_m(0), 0);
  EXPECT_NEAR(geopotential_altitude_m(2000), 1999.371, 1e-3);  // z - z^2 / r + ..., computed here
}

}  // namespace
}  // namespace leeward::control
