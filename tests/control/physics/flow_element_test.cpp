#include "control/physics/flow_element.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

namespace leeward::control {
namespace {

RestrictionSpec restriction_of_flow_element_test() {
  return {.name = "bore-300",
          .k_m3_s_pam = 0.2,
          .m = 0.5,
          .signal_min_pa = 5,
          .signal_max_pa = 400,
          .loss_frac = 0.1};
}

constexpr double kNanSignal = std::numeric_limits<double>::quiet_NaN();

TEST(FlowElement, IsTheCalibrationLaw) {
  const RestrictionSpec bore = restriction_of_flow_element_test();

  EXPECT_DOUBLE_EQ(flow_m3_s(bore, 100), 2.0);
  EXPECT_DOUBLE_EQ(signal_pa(bore, 2.0), 100);
  EXPECT_DOUBLE_EQ(lost_pressure_pa(bore, 2.0), 10);
}

TEST(FlowElement, InvertsItself) {
  std::mt19937 rng(2);
  std::uniform_real_distribution<double> exponent(0.3, 1.0);
  std::uniform_real_distribution<double> signal(0.01, 1000);
  for (int i = 0; i < 2000; ++i) {
    RestrictionSpec bore = restriction_of_flow_element_test();
    bore.m = exponent(rng);
    const double pa = signal(rng);

    EXPECT_NEAR(signal_pa(bore, flow_m3_s(bore, pa)) / pa, 1, 1e-12);
  }
}

TEST(FlowElement, TakesANegativeSignalForNoFlowAndKeepsNan) {
  const RestrictionSpec bore = restriction_of_flow_element_test();

  EXPECT_EQ(flow_m3_s(bore, -3), 0);
  EXPECT_EQ(signal_pa(bore, -3), 0);
  EXPECT_EQ(lost_pressure_pa(bore, -3), 0);
  EXPECT_TRUE(std::isnan(flow_m3_s(bore, kNanSignal)));
  EXPECT_TRUE(std::isnan(signal_pa(bore, kNanSignal)));
}

TEST(FlowElement, FlagsTheValidRangeWithItsLimitsInside) {
  const RestrictionSpec bore = restriction_of_flow_element_test();

  EXPECT_EQ(signal_range(bore, 4.99), SignalRange::below);
  EXPECT_EQ(signal_range(bore, 5), SignalRange::inside);
  EXPECT_EQ(signal_range(bore, 400), SignalRange::inside);
  EXPECT_EQ(signal_range(bore, 400.1), SignalRange::above);
  EXPECT_EQ(signal_range(bore, kNanSignal), SignalRange::below);
}

}  // namespace
}  // namespace leeward::control
