#include "control/regulate/demand_limits.hpp"

#include <gtest/gtest.h>

#include <array>
#include <limits>
#include <random>

namespace leeward::control {
namespace {

constexpr DemandLimits kDemandFan{
    .start_frac = 0.1, .stop_below_frac = 0.06, .max_frac = 0.9, .up_per_s = 0.5, .down_per_s = 1};

/// Steps a fan along with the same wanted demand.
DemandOutput demand_after(double wanted, int steps, DemandState& state) {
  DemandOutput out;
  for (int k = 0; k < steps; ++k) {
    out = demand_step(kDemandFan, state, wanted, 0.1);
    state = out.next;
  }
  return out;
}

TEST(DemandLimits, StartAtTheLeastSpeedNotBelowIt) {  // S2
  DemandState s;

  EXPECT_EQ(demand_after(0.08, 5, s).demand_frac, 0);
  EXPECT_EQ(demand_after(0.08, 1, s).limited_by, LimitedBy::demand_min);
  EXPECT_EQ(demand_after(0.1, 1, s).demand_frac, 0.1);
}

TEST(DemandLimits, KeepARunningFanRunningAFewPercentLower) {  // S2: hysteresis
  DemandState s;
  (void)demand_after(0.12, 5, s);

  EXPECT_EQ(demand_after(0.08, 5, s).demand_frac, 0.1);
  EXPECT_EQ(demand_after(0.08, 1, s).limited_by, LimitedBy::demand_min);
  EXPECT_EQ(demand_after(0.05, 5, s).demand_frac, 0);
  EXPECT_EQ(demand_after(0.08, 5, s).demand_frac, 0);
}

TEST(DemandLimits, DoNotChatterOnAWantedDemandThatJittersInTheZone) {  // S2
  DemandState s;
  int switches = 0;
  for (int k = 0; k < 200; ++k) {
    const bool was = s.running;
    (void)demand_after(0.085 + (k % 2 == 0 ? 0.014 : -0.014), 1, s);
    switches += was != s.running ? 1 : 0;
  }
  EXPECT_LE(switches, 1);
}

TEST(DemandLimits, RiseAndFallAtTheirOwnRates) {  // S4
  DemandState s;
  (void)demand_after(0.1, 1, s);

  const DemandOutput up = demand_after(0.8, 4, s);
  EXPECT_NEAR(up.demand_frac, 0.1 + 4 * 0.05, 1e-12);
  EXPECT_EQ(up.limited_by, LimitedBy::slew);
  EXPECT_NEAR(demand_after(0, 1, s).demand_frac, 0.2, 1e-12);
}

TEST(DemandLimits, StopFromTheLeastSpeedInOneStep) {  // S2
  DemandState s{.demand_frac = 0.15, .running = true};

  EXPECT_EQ(demand_after(0, 1, s).demand_frac, 0);
  EXPECT_FALSE(s.running);
}

TEST(DemandLimits, HoldWithoutTimeOrWithoutANumber) {
  const DemandState s{.demand_frac = 0.4, .running = true};
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();

  EXPECT_EQ(demand_step(kDemandFan, s, nan, 0.1).next, s);
  EXPECT_EQ(demand_step(kDemandFan, s, 0.9, 0).next, s);
  EXPECT_EQ(demand_step(kDemandFan, s, 0.9, -1).next, s);
  EXPECT_EQ(demand_step(kDemandFan, s, 0.9, nan).next, s);
}

TEST(DemandLimits, OfTheLargestDemandBindAtOnce) {  // S1 goes before the slew limit
  DemandLimits lowered = kDemandFan;
  lowered.max_frac = 0.5;

  EXPECT_EQ(demand_step(lowered, {.demand_frac = 0.9, .running = true}, 0.9, 0.1).demand_frac, 0.5);
}

TEST(DemandLimits, AreRefusedWithTheNameOfTheField) {  // S1
  struct Bad {
    const char* field;
    DemandLimits limits;
  };
  const std::array<Bad, 6> bad = {{{"start_frac", {.start_frac = -0.1}},
                                   {"stop_below_frac", {.start_frac = 0.1, .stop_below_frac = 0.2}},
                                   {"max_frac", {.start_frac = 0.5, .max_frac = 0.5}},
                                   {"max_frac", {.max_frac = 1.1}},
                                   {"up_per_s", {.up_per_s = 0}},
                                   {"down_per_s", {.down_per_s = std::numeric_limits<double>::quiet_NaN()}}}};
  for (const Bad& b : bad) {
    const Result<DemandLimits> result = checked(b.limits);
    ASSERT_FALSE(result.has_value()) << b.field;
    EXPECT_EQ(result.error().field, b.field);
  }
  EXPECT_TRUE(checked(kDemandFan).has_value());
}

TEST(DemandLimits, AreNeverBrokenWhateverComesIn) {  // S1, S4
  std::mt19937_64 random(8);
  constexpr double inf = std::numeric_limits<double>::infinity();
  const std::array<double, 6> odd = {std::numeric_limits<double>::quiet_NaN(), inf, -inf, 1e300, 0, -5};
  std::uniform_real_distribution<double> usual(-0.2, 1.2);
  DemandState s;
  for (int k = 0; k < 200'000; ++k) {
    const double wanted = random() % 5 == 0 ? odd[random() % odd.size()] : usual(random);
    const double dt = random() % 9 == 0 ? odd[random() % odd.size()] : 0.1 * std::abs(usual(random));
    const DemandOutput out = demand_step(kDemandFan, s, wanted, dt);
    const double u = out.demand_frac;
    ASSERT_TRUE(u == 0 || (u >= kDemandFan.start_frac && u <= kDemandFan.max_frac)) << u;
    const double room = dt > 0 ? dt : 0;
    if (s.running && u > 0) {
      ASSERT_LE(u, s.demand_frac + 0.5 * room + 1e-12);
      ASSERT_GE(u, s.demand_frac - 1.0 * room - 1e-12);
    }
    s = out.next;
  }
}

}  // namespace
}  // namespace leeward::control
