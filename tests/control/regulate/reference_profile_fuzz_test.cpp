// The moving set-point under whatever comes in.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <random>

#include "control/regulate/reference_profile.hpp"

namespace leeward::control {
namespace {

TEST(ReferenceProfile, StaysFiniteAndBetweenWhereItWasAndItsTarget) {
  std::mt19937_64 random(12);
  constexpr double inf = std::numeric_limits<double>::infinity();
  constexpr double most = std::numeric_limits<double>::max();
  const std::array<double, 9> odd = {
      std::numeric_limits<double>::quiet_NaN(), inf, -inf, most, -most, 1e-300, 0, -1, 1e200};
  std::uniform_real_distribution<double> usual(0, 60);
  const auto value = [&] { return random() % 4 == 0 ? odd[random() % odd.size()] : usual(random); };
  for (int k = 0; k < 300'000; ++k) {
    const ReferenceState before = reference_at(value());
    ASSERT_TRUE(std::isfinite(before.value_pa));
    const double target = value();

    const double after = reference_step(before, target, value(), value(), value()).value_pa;

    ASSERT_TRUE(std::isfinite(after));
    if (!std::isfinite(target)) {
      ASSERT_EQ(after, before.value_pa);
      continue;
    }
    // Rounding of target - (target - value), and of the square root of the way left.
    const double slack = 1e-12 * std::max(std::abs(target), std::abs(before.value_pa));
    ASSERT_GE(after, std::min(before.value_pa, target) - slack);
    ASSERT_LE(after, std::max(before.value_pa, target) + slack);
  }
}

TEST(ReferenceProfile, MovesNoFasterThanItsRate) {
  std::mt19937_64 random(13);
  std::uniform_real_distribution<double> interval(0.001, 0.3);
  ReferenceState s = reference_at(3);
  for (int k = 0; k < 2000; ++k) {
    const double dt = interval(random);
    const double target = k < 700 ? 55 : (k < 1400 ? 10 : 30);
    const ReferenceState next = reference_step(s, target, 1.5, 4, dt);
    ASSERT_LE(std::abs(next.value_pa - s.value_pa), 1.5 * dt + 1e-9);
    s = next;
  }
  EXPECT_EQ(s.value_pa, 30);
}

TEST(ReferenceProfile, IsHeldByARateOfZeroAndGoesOnFromThere) {
  ReferenceState s = reference_at(0);
  for (int k = 0; k < 50; ++k) s = reference_step(s, 50, 2, 4, 0.1);
  const ReferenceState held = s;

  for (int k = 0; k < 50; ++k) s = reference_step(s, 50, 0, 4, 0.1);
  EXPECT_EQ(s, held);

  s = reference_step(s, 50, 2, 4, 0.1);
  EXPECT_NEAR(s.value_pa, held.value_pa + 0.2, 1e-9);
}

}  // namespace
}  // namespace leeward::control
