#include "control/analysis/move_lag.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace leeward::control {
namespace {

/// A move from 50 to 40 Pa in 10 s and 20 s of waiting, read through a lag of first order.
MoveLag staged_move(double lag, double scale = 1) {
  MoveLag move;
  double read_pa = 50;
  for (int i = 0; i < 300; ++i) {
    const double true_pa = std::max(40.0, 50 - 0.1 * i);
    read_pa += lag > 0 ? (true_pa - read_pa) * 0.1 / lag : true_pa - read_pa;
    add(move, read_pa, scale * std::pow(true_pa, 0.65), 0.1);
  }
  return move;
}

TEST(MoveLag, IsTheLagOfTheReading) {
  for (const double lag : {1.0, 3.0, 10.0})
    EXPECT_NEAR(lag_s(staged_move(lag), 40, std::pow(40, 0.65)), lag, 0.1 + 0.02 * lag) << lag;  // s
}

TEST(MoveLag, IsNoneWhereTheReadingFollows) {
  EXPECT_NEAR(lag_s(staged_move(0), 40, std::pow(40, 0.65)), 0, 0.1);
}

TEST(MoveLag, TakesTheScaleOfTheFlowFromTheStation) {
  EXPECT_NEAR(lag_s(staged_move(5, 0.03), 40, 0.03 * std::pow(40, 0.65)), 5, 0.2);
}

TEST(MoveLag, SaysNothingOfAPressureThatHardlyMoved) {
  MoveLag still;
  for (int i = 0; i < 300; ++i) add(still, 40 + 0.1 * (i % 2), 1, 0.1);

  EXPECT_EQ(lag_s(still, 40, 1), 0);
}

TEST(MoveLag, LeavesOutWhatIsNoReading) {
  const MoveLag before = staged_move(3);
  MoveLag after = before;
  add(after, std::numeric_limits<double>::quiet_NaN(), 1, 0.1);
  add(after, 40, std::numeric_limits<double>::quiet_NaN(), 0.1);
  add(after, 40, 1, 0);

  EXPECT_EQ(after, before);
}

}  // namespace
}  // namespace leeward::control
