#include "daemon/words/compare.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <memory>

#include "control/engine.hpp"

namespace leeward::daemon {
namespace {

TEST(FirstDifference, OfEqualValuesIsNone) {
  const auto a = std::make_unique<control::StepOutput>();
  const auto b = std::make_unique<control::StepOutput>();
  a->trace.ln_c = b->trace.ln_c = std::numeric_limits<double>::quiet_NaN();

  EXPECT_FALSE(first_difference(*a, *b).has_value());
}

TEST(FirstDifference, NamesFieldAndBothValues) {
  control::StepOutput a;
  control::StepOutput b;
  b.trace.flow_m3_s[2] = 0.1;
  b.trace.countdown_s = 3;

  const auto found = first_difference(a, b);

  ASSERT_TRUE(found.has_value());
  EXPECT_EQ(found->field, "trace.flow_m3_s[2]");
  EXPECT_EQ(found->first, "0");
  EXPECT_EQ(found->second, "0.10000000000000001");
}

TEST(FirstDifference, TellsTheSignOfZeroApart) {
  control::Trace a;
  control::Trace b;
  b.error_pa = -0.0;

  const auto found = first_difference(a, b);

  ASSERT_TRUE(found.has_value());
  EXPECT_EQ(found->field, "error_pa");
  EXPECT_EQ(found->first, "0");
  EXPECT_EQ(found->second, "-0");
}

TEST(FirstDifference, TellsOneUnitInTheLastPlaceApart) {
  control::Trace a;
  control::Trace b;
  a.demand_frac = 0.3;
  b.demand_frac = std::nextafter(0.3, 1.0);

  const auto found = first_difference(a, b);

  ASSERT_TRUE(found.has_value());
  EXPECT_NE(found->first, found->second);
}

TEST(FirstDifference, NamesEnumsAndListSizes) {
  control::StepOutput a;
  control::StepOutput b;
  b.trace.phase = control::Phase::hold;
  EXPECT_EQ(first_difference(a, b)->second, "hold (10)");

  b = a;
  b.events.push_back({control::EventKind::paused, 0, 0, 0, 0});
  const auto found = first_difference(a, b);
  ASSERT_TRUE(found.has_value());
  EXPECT_EQ(found->field, "events.size");
  EXPECT_EQ(found->second, "1");
}

}  // namespace
}  // namespace leeward::daemon
