// A whole loop against published numbers, a fuzz of everything, and the promises of a pure function.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <limits>
#include <random>

#include "tests/control/regulate/pid_rig.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

struct StepRun {
  double overshoot_percent = 0, absolute_error = 0, variation = 0;
};

StepRun run_step(double h) {
  pid_rig::Loop loop{{.kc = 2.5, .ti_s = 10, .out_min = -100, .out_max = 100}};
  pid_rig::LagPlant plant(1, 10, 2, h);
  StepRun run;
  double last_u = 0;
  for (int k = 0; k < static_cast<int>(200 / h); ++k) {
    const double y = plant.y();
    run.absolute_error += std::abs(1 - y) * h;
    run.overshoot_percent = std::max(run.overshoot_percent, 100 * (y - 1));
    const double u = loop.step(1, y, h).u;
    run.variation += std::abs(u - last_u);
    last_u = u;
    plant.step(u);
  }
  return run;
}

TEST(PidLoop, FollowsAStepAsTheTuningRulePromises) {
  // SIMC PI for 1/(10 s + 1) e^(-2 s): K 2.5, Ti 10; unit step, b = 1 (Skogestad, J. Process Control 13
  // (2003); the figures were computed outside this program).
  struct Row {
    double h, overshoot, error, variation;
  };
  constexpr std::array<Row, 4> rows = {
      {{.01, 4.1, 4.35, 5.16}, {.1, 4.8, 4.42, 5.19}, {.25, 6.1, 4.56, 5.23}, {.5, 8.2, 4.81, 5.30}}};
  for (const Row& row : rows) {
    const StepRun run = run_step(row.h);
    EXPECT_NEAR(run.overshoot_percent, row.overshoot, 0.05) << row.h;
    EXPECT_NEAR(run.absolute_error, row.error, 0.005) << row.h;
    EXPECT_NEAR(run.variation, row.variation, 0.005) << row.h;
  }
}

TEST(PidLoop, AllocatesNothing) {  // O1
  pid_rig::Loop loop{{.kc = 0.3, .ti_s = 2, .td_s = 0.2}};
  const std::size_t before = test::allocations();

  for (int k = 0; k < 1000; ++k) {
    const PidOutput out = loop.step(k % 7 == 0 ? std::nan("") : 0.5, 0.001 * k, k % 50 == 0 ? 5.0 : 0.1);
    loop.state = pid_applied(loop.state, 0.9 * out.u);
    if (k % 100 == 0) loop.state = pid_track(loop.tuning, loop.state, {0.5, 0.1, 0, loop.now_ns}, 0.2);
  }

  EXPECT_EQ(test::allocations(), before);
  static_assert(noexcept(pid_step(loop.tuning, loop.state, PidInput{})));
}

TEST(PidLoop, GivesTheSameBitsInAnyOrderOfOtherWork) {  // O2
  pid_rig::Loop alone{{.kc = 0.3, .ti_s = 2, .td_s = 0.2}};
  pid_rig::Loop among{alone.tuning};
  pid_rig::Loop other{{.kc = -7, .ti_s = 0.3, .td_s = 3}};

  for (int k = 0; k < 200; ++k) {
    const double y = std::sin(0.1 * k);
    if (k % 3 == 0) (void)other.step(k, -y, 0.07);
    const double u = among.step(0.5, y, 0.1).u;
    (void)other.step(-k, y, 0.2);
    EXPECT_EQ(std::bit_cast<std::uint64_t>(u), std::bit_cast<std::uint64_t>(alone.step(0.5, y, 0.1).u));
  }
  EXPECT_EQ(among.state, alone.state);
}

TEST(PidState, ListsAllThatItRemembers) {  // O4: copied by its own description it goes on with the same bits
  pid_rig::Loop loop{{.kc = 0.3, .ti_s = 2, .td_s = 0.2}};
  for (int k = 0; k < 9; ++k) (void)loop.step(0.5, 0.03 * k, 0.1);
  PidState copy;

  PidState::describe([&](const char*, auto member) { copy.*member = loop.state.*member; });

  EXPECT_EQ(copy, loop.state);
}

TEST(PidTuning, ListsAllItsSettings) {  // O4
  const PidTuning tuning{.kc = 1,
                         .ti_s = 2,
                         .td_s = 3,
                         .derivative_n = 4,
                         .tt_s = 5,
                         .setpoint_weight = 0.5,
                         .out_min = -6,
                         .out_max = 7,
                         .deadband = 8,
                         .max_gap_s = 9,
                         .integral_min = -10,
                         .integral_max = 11};
  PidTuning copy;

  PidTuning::describe([&](const char*, auto member) { copy.*member = tuning.*member; });

  EXPECT_EQ(copy, tuning);
}

/// A number of the kind that breaks things.
double nasty(std::mt19937& rng) {
  constexpr double most = std::numeric_limits<double>::max();
  constexpr double inf = std::numeric_limits<double>::infinity();
  constexpr std::array<double, 10> special = {0,
                                              -0.0,
                                              most,
                                              -most,
                                              inf,
                                              -inf,
                                              std::numeric_limits<double>::quiet_NaN(),
                                              std::numeric_limits<double>::denorm_min(),
                                              1e154,
                                              -1e154};
  std::uniform_int_distribution<std::size_t> pick(0, 3 * special.size());
  const std::size_t i = pick(rng);
  return i < special.size() ? special[i] : std::normal_distribution<double>(0, 50)(rng);
}

std::int64_t nasty_interval(std::mt19937& rng) {
  constexpr std::array<std::int64_t, 7> special = {
      0, 1, -50'000'000, 3'600'000'000'000, std::int64_t{1} << 62, 1'000, 999'999'999};
  std::uniform_int_distribution<std::size_t> pick(0, 4 * special.size());
  const std::size_t i = pick(rng);
  return i < special.size() ? special[i] : std::uniform_int_distribution<std::int64_t>(1, 200'000'000)(rng);
}

PidTuning any_tuning(std::mt19937& rng) {
  std::uniform_real_distribution<double> u(0, 1);
  constexpr double inf = std::numeric_limits<double>::infinity();
  PidTuning t;
  t.kc = 20 * (u(rng) - 0.5);
  t.ti_s = u(rng) < 0.2 ? inf : 0.01 + 10 * u(rng);
  t.td_s = u(rng) < 0.4 ? 0 : u(rng);
  t.derivative_n = u(rng) < 0.2 ? inf : 0.1 + 20 * u(rng);
  t.tt_s = u(rng) < 0.5 ? 0 : u(rng);
  t.setpoint_weight = u(rng);
  t.out_min = u(rng) - 0.5;
  t.out_max = t.out_min + 1e-3 + u(rng);
  t.deadband = u(rng) < 0.5 ? 0 : u(rng);
  return t;
}

TEST(PidFuzz, OutputIsFiniteAndWithinLimitsWhateverComesIn) {
  std::mt19937 rng(20240607);
  std::uniform_real_distribution<double> u(0, 1);
  for (int run = 0; run < 400; ++run) {
    const PidTuning t = any_tuning(rng);
    ASSERT_TRUE(checked(t).has_value());
    PidState s = pid_start(t, {nasty(rng), nasty(rng), nasty(rng), 0}, nasty(rng));
    std::uint64_t now = 0;
    for (int k = 0; k < 500; ++k) {
      now += static_cast<std::uint64_t>(nasty_interval(rng));
      const PidInput in{nasty(rng), nasty(rng), nasty(rng), static_cast<std::int64_t>(now)};
      const PidOutput out = pid_step(t, s, in);
      ASSERT_TRUE(std::isfinite(out.u));
      ASSERT_GE(out.u, t.out_min);
      ASSERT_LE(out.u, t.out_max);
      ASSERT_TRUE(std::isfinite(out.next.integral) && std::isfinite(out.next.derivative));
      s = u(rng) < 0.8 ? pid_applied(out.next, u(rng) < 0.5 ? out.u : nasty(rng)) : out.next;
      if (u(rng) < 0.05) s = pid_track(t, s, in, nasty(rng));
      if (u(rng) < 0.05) s = pid_retune(s, any_tuning(rng), t, in);
    }
  }
}

}  // namespace
}  // namespace leeward::control
