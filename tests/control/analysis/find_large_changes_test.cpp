// Changes as large as a good part of the leaks: from a restriction and from each other.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "control/analysis/diagnosis.hpp"
#include "tests/control/analysis/staged_test.hpp"

namespace leeward::control {
namespace {

constexpr double kFromStation30 = 30 + 6 * 30 + 5;  // s: on the way to the seventh station

const Finding* large_of(const Findings& findings, FindingKind kind) {
  const auto* it =
      std::find_if(findings.begin(), findings.end(), [kind](const Finding& f) { return f.kind == kind; });
  return it == findings.end() ? nullptr : it;
}

staged::Play with_large_opening(double share) {
  staged::Play play;
  play.flow = [=](double t, double p, double flow) {
    return flow +
           (t >= kFromStation30 ? share * staged::kC * std::pow(33, staged::kN) * std::sqrt(p / 33) : 0);
  };
  return play;
}

// As large a jump as from one restriction to the next: the fan's demand shows that the air flowed.
TEST(FindLargeChanges, NamesAnOpeningThatTriplesTheFlow) {
  const Findings found = staged::Test(with_large_opening(2)).take(Direction::depressurize).findings();

  EXPECT_EQ(large_of(found, FindingKind::wrong_restriction), nullptr);
  const Finding* opening = large_of(found, FindingKind::opening);
  ASSERT_NE(opening, nullptr);
  EXPECT_NEAR(opening->station, 6, 1);  // the one before may have been mixed
  EXPECT_NEAR(opening->size, 2, 0.2);   // absolute
}

TEST(FindLargeChanges, NamesAFanOfAThirdOfTheFlow) {
  const double amount = 0.33 * staged::kC * std::pow(50, staged::kN);
  staged::Play play;
  play.flow = [=](double t, double, double flow) { return flow + (t >= kFromStation30 ? amount : 0); };
  // Out of the building while the test blows in: the building falls to where the leaks feed it.
  play.zero = [=](double t) { return t > 30 + 12 * 30 ? -std::pow(amount / staged::kC, 1 / staged::kN) : 0; };

  const Findings found = staged::Test(play).take(Direction::pressurize).findings();

  const Finding* fan = large_of(found, FindingKind::exhaust_fan);
  ASSERT_NE(fan, nullptr);
  EXPECT_NEAR(fan->size, amount, 0.1 * amount);
  EXPECT_EQ(large_of(found, FindingKind::opening), nullptr);
}

TEST(FindLargeChanges, NamesAShiftOfTenPascals) {
  staged::Play play;
  // The fan is driven to the reading, so that the flow is that of 10 Pa more.
  play.flow = [](double t, double p, double flow) {
    return t >= kFromStation30 ? staged::kC * std::pow(p + 10, staged::kN) : flow;
  };
  play.zero = [](double t) { return t > 30 + 12 * 30 ? -10.0 : 0.0; };

  const Findings found = staged::Test(play).take(Direction::pressurize).findings();

  const Finding* shift = large_of(found, FindingKind::zero_flow_drift);
  ASSERT_NE(shift, nullptr);
  EXPECT_NEAR(shift->size, -10, 0.5);  // Pa
  EXPECT_EQ(large_of(found, FindingKind::exhaust_fan), nullptr);
}

}  // namespace
}  // namespace leeward::control
