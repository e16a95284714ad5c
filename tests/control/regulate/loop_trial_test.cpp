#include "control/regulate/loop_trial.hpp"

#include <gtest/gtest.h>

namespace leeward::control {
namespace {

// SIMC PI for 1/(10 s + 1) e^(-2 s): K 2.5, Ti 10, unit step, b = 1 (Skogestad 2003; computed apart).
TEST(LoopTrial, GivesTheStepThatTheRulePromises) {
  struct Row {
    double h, overshoot, error, variation;
  };
  for (const Row& row : {Row{.01, 4.1, 4.35, 5.16}, Row{.1, 4.8, 4.42, 5.19}, Row{.25, 6.1, 4.56, 5.23},
                         Row{.5, 8.2, 4.81, 5.30}}) {
    const LoopTrial trial = try_loop({.gain = 1, .tau_s = 10, .delay_s = 2}, {.kc = 2.5, .ti_s = 10}, row.h);
    EXPECT_NEAR(100 * trial.overshoot_frac, row.overshoot, 0.05) << row.h;
    EXPECT_NEAR(trial.iae, row.error, 0.005) << row.h;
    EXPECT_NEAR(trial.total_variation, row.variation, 0.005) << row.h;
    EXPECT_TRUE(trial.settled);
    // Integrated error of a load step: Ti/K where the error keeps its sign; it hardly turns here.
    EXPECT_NEAR(trial.load_iae, 10 / 2.5, 0.15) << row.h;
  }
}

TEST(LoopTrial, TellsALoopThatSwings) {
  EXPECT_FALSE(try_loop({.gain = 1, .tau_s = 10, .delay_s = 2}, {.kc = 9, .ti_s = 10}, 0.1).settled);
}

}  // namespace
}  // namespace leeward::control
