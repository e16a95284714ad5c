#include "control/regulate/reference_profile.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace leeward::control {
namespace {

double after(double seconds, double h, double from, double to, double rate) {
  ReferenceState s = reference_at(from);
  for (int k = 0; k < static_cast<int>(std::lround(seconds / h)); ++k) s = reference_step(s, to, rate, 4, h);
  return s.value_pa;
}

TEST(ReferenceProfile, TravelsAtItsRateAndComesToRestOnTheTarget) {
  EXPECT_NEAR(after(10, 0.1, 0, 50, 1), 10, 1e-9);
  EXPECT_EQ(after(60, 0.1, 0, 50, 1), 50);
  EXPECT_EQ(after(60, 0.1, 50, 10, 1), 10);
}

TEST(ReferenceProfile, IsTheSamePathForAnyCutOfTheTime) {
  for (const double seconds : {1.0, 4.0, 7.0, 7.6, 8.0}) {
    const double fine = after(seconds, 0.05, 5, 50, 6);
    EXPECT_NEAR(after(seconds, 0.1, 5, 50, 6), fine, 1e-9) << seconds;
    EXPECT_NEAR(after(seconds, 0.2, 5, 50, 6), fine, 1e-9) << seconds;
  }
}

TEST(ReferenceProfile, NeverPassesTheTarget) {
  ReferenceState s = reference_at(10);
  double before = 10;
  for (int k = 0; k < 300; ++k) {
    s = reference_step(s, 50, 20, 4, 0.13);
    ASSERT_LE(s.value_pa, 50);
    ASSERT_GE(s.value_pa, before);
    before = s.value_pa;
  }
}

TEST(ReferenceProfile, TurnsBackFromWhereItIs) {
  ReferenceState s = reference_at(0);
  for (int k = 0; k < 100; ++k) s = reference_step(s, 50, 1, 4, 0.1);
  const double turned_at = s.value_pa;
  s = reference_step(s, 0, 1, 4, 0.1);
  EXPECT_NEAR(s.value_pa, turned_at - 0.1, 1e-9);
}

TEST(ReferenceProfile, StaysWhereItIsForWhatMakesNoSense) {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const ReferenceState s = reference_at(12);
  EXPECT_EQ(reference_step(s, nan, 1, 4, 0.1), s);
  EXPECT_EQ(reference_step(s, 50, 0, 4, 0.1), s);
  EXPECT_EQ(reference_step(s, 50, 1, 4, nan), s);
  EXPECT_EQ(reference_step(s, 50, 1, 4, -1), s);
  EXPECT_EQ(reference_at(nan).value_pa, 0);
}

}  // namespace
}  // namespace leeward::control
