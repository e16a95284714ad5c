#include "control/analysis/window_blocks.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::control {
namespace {

TEST(WindowBlocks, CutsAWindowIntoBlocks) {
  WindowBlocks blocks;
  for (int i = 0; i < 124; ++i) add(blocks, i < 50 ? -10 : -20, i < 50 ? 0.1 : 0.2, 0.1);

  ASSERT_EQ(blocks.means.size(), 2U);  // the rest is not a whole block
  EXPECT_NEAR(blocks.means[0].pressure_pa, -10, 1e-12);
  EXPECT_NEAR(blocks.means[1].pressure_pa, -20, 1e-12);
  EXPECT_NEAR(blocks.means[1].flow_m3_s, 0.2, 1e-12);
  EXPECT_NEAR(blocks.means[0].change_pa, 0, 1e-12);
  EXPECT_NEAR(blocks.means[1].change_pa, -10, 1e-3);
}

TEST(WindowBlocks, MergesNeighboursWhenTheyRunOutAndLosesNothing) {
  WindowBlocks blocks;
  double sum = 0;
  const int count = 1600;  // 160 s: more than 16 blocks of 5 s
  for (int i = 0; i < count; ++i) {
    const double p = std::sin(0.01 * i);
    sum += p / count;
    add(blocks, p, 1, 0.1);
  }

  EXPECT_EQ(blocks.block_s, 10);
  ASSERT_EQ(blocks.means.size(), 16U);
  double mean = 0;
  double change = 0;
  for (const BlockMean& b : blocks.means) {
    mean += b.pressure_pa / 16;
    change += b.change_pa;
  }
  EXPECT_NEAR(mean, sum, 1e-12);
  EXPECT_NEAR(change, std::sin(0.01 * (count - 1)) - 0, 0.05);
}

TEST(WindowBlocks, LeavesOutWhatIsNoNumber) {
  WindowBlocks blocks;
  add(blocks, std::nan(""), 1, 0.1);
  add(blocks, 1, INFINITY, 0.1);
  add(blocks, 1, 1, 0);
  EXPECT_EQ(blocks, WindowBlocks{});
}

}  // namespace
}  // namespace leeward::control
