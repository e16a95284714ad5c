#include "control/regulate/carried_gains.hpp"

#include <gtest/gtest.h>

namespace leeward::control {
namespace {

RegulatorSpec spec_with_found_gains() {
  RegulatorSpec spec;
  spec.tuned_pa = 50;
  spec.tuned_kc_frac_per_pa = 0.005;
  spec.tuned_ti_s = 1.5;
  return spec;
}

TEST(CarriedGains, AreTheFoundOnesWhereTheyWereFound) {
  const PidTuning rule{.kc = 0.007, .ti_s = 1.2, .td_s = 0.1};

  const PidTuning out = carried_gains(spec_with_found_gains(), rule, rule);

  EXPECT_EQ(out.kc, 0.005);
  EXPECT_EQ(out.ti_s, 1.5);
  EXPECT_EQ(out.td_s, 0.1);  // of the settings, not of the rule
}

TEST(CarriedGains, ChangeWithPressureAsTheRulesDo) {
  const PidTuning there{.kc = 0.007, .ti_s = 1.2};
  const PidTuning here{.kc = 0.014, .ti_s = 0.6};

  const PidTuning out = carried_gains(spec_with_found_gains(), there, here);

  EXPECT_NEAR(out.kc, 0.010, 1e-12);
  EXPECT_NEAR(out.ti_s, 0.75, 1e-12);
}

TEST(CarriedGains, AreCarriedOnlySoFar) {
  const PidTuning there{.kc = 0.001, .ti_s = 1};
  const PidTuning here{.kc = 1, .ti_s = 0.001};

  const PidTuning out = carried_gains(spec_with_found_gains(), there, here);

  EXPECT_NEAR(out.kc, 0.005 * kMostCarried, 1e-12);
  EXPECT_NEAR(out.ti_s, 1.5 / kMostCarried, 1e-12);
}

TEST(CarriedGains, AreUsedOnlyWhereAllThreeAreStated) {
  EXPECT_FALSE(has_tuned_gains(RegulatorSpec{}));
  EXPECT_TRUE(has_tuned_gains(spec_with_found_gains()));
  RegulatorSpec half = spec_with_found_gains();
  half.tuned_ti_s = 0;
  EXPECT_FALSE(has_tuned_gains(half));
}

}  // namespace
}  // namespace leeward::control
