#include "control/regulate/step_experiment.hpp"

#include <gtest/gtest.h>

namespace leeward::control {
namespace {

TEST(StepStep, StepsUpAndBackAndEnds) {
  const StepSpec spec{.amplitude_frac = 0.02, .rest_s = 1, .up_s = 2, .back_s = 1, .bounds = {}};
  StepState s = step_start(0.4, 50);
  int up = 0;
  int ticks = 0;
  double last = 0;
  while (s.watch.end == ExperimentEnd::running && ++ticks < 1000) {
    last = step_step(spec, s, {.dt_s = 0.125, .fresh = true, .y_pa = 50, .abort = false});
    up += last > 0.41 ? 1 : 0;
  }

  EXPECT_EQ(s.watch.end, ExperimentEnd::done);
  EXPECT_EQ(up, 16);
  EXPECT_EQ(ticks, 32);
  EXPECT_EQ(last, 0.4);
}

TEST(StepStep, EndsInTheTickThatLeavesItsBoundsOrIsToldTo) {
  const StepSpec spec;
  for (const ExperimentInput& in :
       {ExperimentInput{0.1, true, 55.1, false}, ExperimentInput{0.1, true, 50, true}}) {
    StepState s = step_start(0.4, 50);
    for (int k = 0; k < 110; ++k) (void)step_step(spec, s, {0.1, true, 50, false});
    ASSERT_EQ(step_step(spec, s, {0.1, true, 50, false}), 0.4 + 0.02);
    EXPECT_EQ(step_step(spec, s, in), 0.4);
    EXPECT_NE(s.watch.end, ExperimentEnd::running);
  }
}

}  // namespace
}  // namespace leeward::control
