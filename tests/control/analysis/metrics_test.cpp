#include "control/analysis/metrics.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/analysis/customary_units.hpp"

namespace leeward::control {
namespace {

VolumeFlow power_flow(double c_m3_h_pan, double n, double pressure_pa) {
  return m3_per_h(c_m3_h_pan * std::pow(pressure_pa, n));
}

double ela10_cm2(double c_m3_h_pan, double n, double density_kg_m3) {
  return 1e4 * leakage_area_m2(power_flow(c_m3_h_pan, n, 10), pascals(10), kg_per_m3(density_kg_m3), 1);
}

TEST(LeakageArea, MeetsAPublishedFigure) {
  // C. Ghiaus, tutorial A06: 159.9 cm2 at 10 Pa, density 1.2, discharge coefficient 1.
  EXPECT_NEAR(ela10_cm2(53.395623, 0.6434488, 1.2), 159.9, 0.05);
}

TEST(LeakageArea, HasTheRatioOfBothDefinitions) {
  const Density air = kg_per_m3(1.2041);
  const auto ratio = [&](double n) {
    return leakage_area_m2(power_flow(50, n, kEqla10Pa), pascals(kEqla10Pa), air,
                           kEqla10DischargeCoefficient) /
           leakage_area_m2(power_flow(50, n, kEla4Pa), pascals(kEla4Pa), air, kEla4DischargeCoefficient);
  };

  // 2.5^(n - 1/2) / 0.611
  EXPECT_NEAR(ratio(0.65), 1.877802, 1e-6);
  EXPECT_NEAR(ratio(0.5), 1.636661, 1e-6);
  EXPECT_NEAR(ratio(1.0), 2.587789, 1e-6);
}

TEST(LeakageArea, HasTheConstantOfTheCanadianStandard) {
  // CAN/CGSB-149.10 prints 0.001157 sqrt(rho) C 10^(n - 1/2) with C in L/(s Pa^n) (from memory).
  const double area = leakage_area_m2(m3_per_s(1e-3), pascals(1), kg_per_m3(1), kEqla10DischargeCoefficient);

  EXPECT_NEAR(area, 0.00115729, 1e-8);
}

TEST(LeakageArea, GivesTheRuleOfThumbInSquareInches) {
  // ELA in in2 is close to CFM50 / 18 or 0.055 CFM50; exact at n = 0.65, computed apart.
  const VolumeFlow at_4 = single_point_flow(m3_per_h(kM3PerHPerCfm), pascals(50), pascals(4), 0.65);
  const double area = leakage_area_m2(at_4, pascals(4), kg_per_m3(1.2041), kEla4DischargeCoefficient);

  EXPECT_NEAR(area / kM2PerSquareInch, 0.0549567, 1e-7);
}

TEST(Metrics, NormalizeAsTheWorkedExample) {
  // Computed apart: ELA4 284.476 cm2, EqLA10 552.506 cm2, floor 240 m2, height 5.2 m, envelope 550 m2.
  EXPECT_NEAR(normalized_leakage(284.476e-4, 240, 5.2), 0.14766, 5e-6);
  EXPECT_NEAR(normalized_leakage(284.476e-4, 240, 5.2, 0.4), 0.15888, 5e-6);
  EXPECT_NEAR(normalized_leakage_area_cm2_m2(552.506e-4, 550), 1.00456, 5e-6);
  EXPECT_NEAR(hourly_flow_per(m3_per_h(1500), 600), 2.5, 1e-12);
}

TEST(SinglePoint, MovesAFlowByTheAssumedExponent) {
  // 1450 (50 / 50.2)^0.65 and (50 / 32.5)^0.65
  EXPECT_NEAR(in_m3_per_h(single_point_flow(m3_per_h(1450), pascals(50.2), pascals(50), 0.65)), 1446.24240,
              1e-5);
  EXPECT_NEAR(single_point_flow(m3_per_s(1), pascals(32.5), pascals(50), 0.65).si(), 1.3231416, 1e-6);
}

TEST(SinglePoint, ChargesTheExtrapolation) {
  const auto u = [](double pa) {
    return single_point_u_frac(pascals(pa), pascals(50), 0.65, 0.025, pascals(1), 0.06);
  };

  // Computed apart from the three terms.
  EXPECT_NEAR(u(32.5), 0.04115, 1e-5);
  EXPECT_NEAR(u(45), 0.0296, 5e-5);
  EXPECT_NEAR(u(15), 0.088, 5e-4);
  EXPECT_NEAR(u(50), std::hypot(0.025, 0.65 / 50), 1e-12);
}

TEST(TwoPoint, FindsTheExponent) {
  EXPECT_NEAR(
      two_point_exponent(power_flow(50, 0.62, 50), pascals(50), power_flow(50, 0.62, 12.5), pascals(12.5)),
      0.62, 1e-12);
}

TEST(CustomaryUnits, AreTheDefinedOnes) {
  EXPECT_NEAR(kM3PerHPerCfm, 1.6990107955, 1e-10);  // (0.3048 m)^3 a minute
  EXPECT_NEAR(kM3PerHM2PerCfmPerFt2, 18.288, 1e-12);
  EXPECT_NEAR(0.2 * kPascalsPerInchOfWater, 49.8177820, 1e-7);
  EXPECT_NEAR(kM2PerSquareInch, 6.4516e-4, 1e-12);
}

}  // namespace
}  // namespace leeward::control
