#include "control/analysis/zero_flow.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/control/analysis/worked_example.hpp"

namespace leeward::control {
namespace {

using worked_example::baseline;

TEST(ZeroFlow, IsTheMeanOfBothAverages) {
  const ZeroFlow zero = zero_flow(baseline(-1.74, 0.1, 0), baseline(-2.05, 0.1, 1));

  EXPECT_TRUE(zero.known);
  EXPECT_NEAR(zero.pressure_pa, -1.895, 1e-12);
}

TEST(ZeroFlow, AddsTheDriftThatTheNoiseDoesNotExplain) {
  const double noise_pa2 = 2 * (0.1 * 0.1 + kPressureResolutionPa * kPressureResolutionPa);

  const ZeroFlow drifting = zero_flow(baseline(-1, 0.1, 0), baseline(2, 0.1, 1));
  const ZeroFlow steady = zero_flow(baseline(-1, 0.1, 0), baseline(-0.95, 0.1, 1));

  EXPECT_NEAR(drifting.u_pa, std::sqrt(noise_pa2 / 4 + (9 - noise_pa2) / 12), 1e-12);
  EXPECT_NEAR(steady.u_pa, std::sqrt(noise_pa2 / 4), 1e-12);
}

TEST(ZeroFlow, TakesTheOneAverageThatThereIs) {
  const BaselineRecord one = baseline(-1.5, 0.3, 0);

  for (const ZeroFlow& zero : {zero_flow(one, {}), zero_flow({}, one)}) {
    EXPECT_TRUE(zero.known);
    EXPECT_EQ(zero.pressure_pa, -1.5);
    EXPECT_NEAR(zero.u_pa, std::hypot(0.3, kPressureResolutionPa), 1e-15);
  }
  EXPECT_FALSE(zero_flow({}, {}).known);
}

TEST(LargestSignMean, LooksAtBothSignsOfBothAverages) {
  DirectionRecord record;
  EXPECT_EQ(largest_sign_mean_pa(record), 0);

  record.before = baseline(-0.1, 0.1, 0);
  record.before.positive_mean_pa = 2.5;
  record.before.negative_mean_pa = -1.5;
  record.after = baseline(-0.1, 0.1, 0);
  record.after.negative_mean_pa = -3.5;
  EXPECT_EQ(largest_sign_mean_pa(record), 3.5);

  record.after.taken = false;
  EXPECT_EQ(largest_sign_mean_pa(record), 2.5);
}

}  // namespace
}  // namespace leeward::control
