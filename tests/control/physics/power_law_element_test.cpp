#include "control/physics/power_law_element.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace leeward::control {
namespace {

TEST(PowerLawElement, MeetsTheClosedFormAtFiftyPascals) {
  const auto leak = PowerLawElement::make(0.05, 0.65).value();

  // 0.05 * 50^0.65, computed here to 16 digits
  EXPECT_NEAR(leak.flow(pascals(50)).si(), 0.6357706969583047, 1e-15);
  EXPECT_NEAR(in_m3_per_h(leak.flow(pascals(50))), 2288.774509, 1e-6);
}

TEST(PowerLawElement, KeepsTheRatiosOfTheReferenceFlows) {
  const auto leak = PowerLawElement::make(0.05, 0.65).value();
  const double q50 = leak.flow(pascals(50)).si();

  // 12.5^0.65 and (2/3)^0.65
  EXPECT_NEAR(q50 / leak.flow(pascals(4)).si(), 5.164063, 1e-6);
  EXPECT_NEAR(q50 / leak.flow(pascals(75)).si(), 0.768317, 1e-6);
}

TEST(PowerLawElement, IsOddContinuousAndInvertsItself) {
  std::mt19937 rng(1);
  std::uniform_real_distribution<double> exponent(0.5, 1.0);
  std::uniform_real_distribution<double> log_c(-9, 0);
  std::uniform_real_distribution<double> log_pa(-7, 5);
  for (int i = 0; i < 2000; ++i) {
    const auto leak = PowerLawElement::make(std::exp(log_c(rng)), exponent(rng)).value();
    const PressureDiff dp = pascals(std::exp(log_pa(rng)));

    const VolumeFlow q = leak.flow(dp);

    EXPECT_EQ(leak.flow(-dp), -q);
    EXPECT_EQ(leak.pressure(-q), -leak.pressure(q));
    EXPECT_NEAR(leak.pressure(q) / dp, 1, 1e-12);
    EXPECT_GT(leak.flow(1.001 * dp), q);
  }
}

TEST(PowerLawElement, IsStraightBelowItsHalfWidthAndJoinsThere) {
  const auto leak = PowerLawElement::make(0.05, 0.6, pascals(0.5)).value();

  EXPECT_EQ(leak.flow(pascals(0)).si(), 0);
  EXPECT_NEAR(leak.flow(pascals(0.25)) / leak.flow(pascals(0.5)), 0.5, 1e-15);
  EXPECT_NEAR(leak.flow(pascals(0.5 + 1e-12)) / leak.flow(pascals(0.5)), 1, 1e-11);
}

TEST(PowerLawElement, GivesNanForNan) {
  const auto leak = PowerLawElement::make(0.05, 0.6).value();
  const double nan = std::numeric_limits<double>::quiet_NaN();

  EXPECT_TRUE(std::isnan(leak.flow(pascals(nan)).si()));
  EXPECT_TRUE(std::isnan(leak.pressure(m3_per_s(nan)).si()));
}

TEST(PowerLawElement, RefusesWhatIsNoLeak) {
  EXPECT_EQ(PowerLawElement::make(0, 0.65).error().field, "c_m3_s_pan");
  EXPECT_EQ(PowerLawElement::make(std::numeric_limits<double>::infinity(), 0.65).error().field, "c_m3_s_pan");
  EXPECT_EQ(PowerLawElement::make(0.05, 0.49).error().field, "n");
  EXPECT_EQ(PowerLawElement::make(0.05, 1.01).error().field, "n");
  EXPECT_EQ(PowerLawElement::make(0.05, 0.65, pascals(0)).error().field, "laminar_below_pa");
}

}  // namespace
}  // namespace leeward::control
