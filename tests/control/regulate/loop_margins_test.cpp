#include "control/regulate/loop_margins.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "control/regulate/simc.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

constexpr double kNoIntegral = std::numeric_limits<double>::infinity();

ProcessModel margins_lag(double gain, double tau_s, double delay_s) {
  ProcessModel out{.gain = gain, .delay_s = delay_s};
  out.lags_s.push_back(tau_s);
  return out;
}

LoopMargins margins_of_simc(const LagModel& m) {
  const SimcGains g = simc_gains(m, m.delay_s);
  return loop_margins({.kc = g.kc, .ti_s = g.ti_s}, margins_lag(m.gain, m.tau_s, m.delay_s));
}

// Skogestad, J. Process Control 13 (2003), table of margins with tc = theta = 1 (from memory; computed apart
// as well): a first-order lag with Ti = tau.
TEST(LoopMargins, OfAFirstOrderLagAreThePublishedOnes) {
  const LoopMargins m = margins_of_simc({.gain = 1, .tau_s = 1, .delay_s = 1});

  EXPECT_TRUE(m.stable);
  EXPECT_NEAR(m.gain_margin, std::numbers::pi, 1e-6);
  EXPECT_NEAR(m.phase_margin_deg, 61.35, 0.005);
  EXPECT_NEAR(m.w180_rad_s, std::numbers::pi / 2, 1e-6);
  EXPECT_NEAR(m.crossover_rad_s, 0.5, 1e-6);
  EXPECT_NEAR(m.delay_margin_s, 2.142, 5e-4);
  EXPECT_NEAR(m.ms, 1.590, 5e-4);
  EXPECT_NEAR(m.mt, 1.000, 5e-4);
}

TEST(LoopMargins, OfAnIntegratorAreThePublishedOnes) {  // the same table
  const SimcGains g = simc_integrating(1, 1, 0, 1);
  const LoopMargins m =
      loop_margins({.kc = g.kc, .ti_s = g.ti_s}, {.gain = 1, .integrates = true, .delay_s = 1});

  EXPECT_TRUE(m.stable);
  EXPECT_NEAR(m.gain_margin, 2.963, 5e-4);
  EXPECT_NEAR(m.phase_margin_deg, 46.86, 0.005);
  EXPECT_NEAR(m.w180_rad_s, 1.487, 5e-4);
  EXPECT_NEAR(m.crossover_rad_s, 0.515, 5e-4);
  EXPECT_NEAR(m.delay_margin_s, 1.590, 1e-3);
  EXPECT_NEAR(m.ms, 1.704, 5e-4);
  EXPECT_NEAR(m.mt, 1.299, 5e-4);
}

TEST(LoopMargins, OfALagOfTwentyDelaysLieBetween) {  // the same source, computed apart
  const LoopMargins m = margins_of_simc({.gain = 1, .tau_s = 20, .delay_s = 1});

  EXPECT_NEAR(m.gain_margin, 3.035, 1e-3);
  EXPECT_NEAR(m.phase_margin_deg, 52.5, 0.05);
  EXPECT_NEAR(m.ms, 1.651, 5e-4);
}

// True ultimate gain and period of first-order lags with delay and of an integrator, computed apart.
TEST(LoopMargins, GiveTheUltimateGainAndPeriod) {
  struct Row {
    double gain, tau_s, delay_s, ku, tu_s;
  };
  for (const Row& row : {Row{1, 10, 2, 8.5024, 7.4415}, Row{1, 1, 1, 2.2618, 3.0971},
                         Row{2, 5, 1, 4.2512, 3.7208}, Row{1, 10, .5, 32.056, 1.9610}}) {
    const LoopMargins m =
        loop_margins({.kc = 1, .ti_s = kNoIntegral}, margins_lag(row.gain, row.tau_s, row.delay_s));
    EXPECT_NEAR(m.gain_margin / row.ku, 1, 3e-5) << row.tau_s;
    EXPECT_NEAR(2 * std::numbers::pi / m.w180_rad_s / row.tu_s, 1, 3e-5) << row.tau_s;
  }
  const LoopMargins i =
      loop_margins({.kc = 1, .ti_s = kNoIntegral}, {.gain = 1, .integrates = true, .delay_s = 1});
  EXPECT_NEAR(i.gain_margin, std::numbers::pi / 2, 1e-6);
  EXPECT_NEAR(2 * std::numbers::pi / i.w180_rad_s, 4, 1e-6);
}

TEST(LoopMargins, TellAStableLoopFromOneThatIsNot) {
  const ProcessModel plant = margins_lag(1, 10, 2);
  const double ku = 8.5024;  // see above

  EXPECT_TRUE(loop_margins({.kc = 0.99 * ku, .ti_s = kNoIntegral}, plant).stable);
  EXPECT_FALSE(loop_margins({.kc = 1.01 * ku, .ti_s = kNoIntegral}, plant).stable);
  const LoopMargins bad = loop_margins({.kc = 2 * ku, .ti_s = 10}, plant);
  EXPECT_FALSE(bad.stable);
  EXPECT_LT(bad.gain_margin, 1);
  EXPECT_EQ(bad.delay_margin_s, 0);
}

TEST(LoopMargins, TellThatAnIntegratorWantsALongIntegralTime) {
  const ProcessModel plant{.gain = 1, .integrates = true, .delay_s = 1};

  // The phase never gets above -180 degrees where Ti is below the delay: no gain is small enough.
  EXPECT_FALSE(loop_margins({.kc = 0.1, .ti_s = 0.5}, plant).stable);
  EXPECT_TRUE(loop_margins({.kc = 0.1, .ti_s = 40}, plant).stable);
}

TEST(LoopMargins, OfAReverseActingLoopAreThoseOfItsMirror) {
  const LoopMargins one = loop_margins({.kc = 2.5, .ti_s = 10}, margins_lag(1, 10, 2));
  const LoopMargins mirror = loop_margins({.kc = -2.5, .ti_s = 10}, margins_lag(-1, 10, 2));

  EXPECT_EQ(one.ms, mirror.ms);
  EXPECT_EQ(one.phase_margin_deg, mirror.phase_margin_deg);
}

TEST(LoopMargins, OfTheIsaFormAreThoseOfTheSeriesForm) {
  const SimcGains series = simc_gains({.gain = 1, .tau_s = 20, .delay_s = 1, .tau2_s = 2}, 1);
  const SimcGains isa = isa_form(series);
  ProcessModel plant = margins_lag(1, 20, 1);
  plant.lags_s.push_back(2);

  const LoopMargins a = loop_margins({series.kc, series.ti_s, series.td_s, 0, PidForm::series}, plant);
  const LoopMargins b = loop_margins({isa.kc, isa.ti_s, isa.td_s, 0, PidForm::isa}, plant);

  EXPECT_NEAR(a.ms, b.ms, 1e-9);
  EXPECT_NEAR(a.gain_margin, b.gain_margin, 1e-9);
}

TEST(LoopMargins, OfAFilteredDerivativeApproachThoseOfAnIdealOne) {
  ProcessModel plant = margins_lag(1, 20, 1);
  plant.lags_s.push_back(2);
  const auto ms_with = [&](double n) {
    return loop_margins({.kc = 6, .ti_s = 10, .td_s = 1.5, .filter_n = n}, plant).ms;
  };

  EXPECT_NEAR(ms_with(1e6), ms_with(0), 1e-4);
  EXPECT_GT(std::abs(ms_with(3) - ms_with(0)), 0.01);
}

TEST(LoopMargins, AllocateNothing) {
  const std::size_t before = test::allocations();

  (void)loop_margins({.kc = 2.5, .ti_s = 10}, {.gain = 1, .integrates = true, .delay_s = 2});

  EXPECT_EQ(test::allocations(), before);
}

}  // namespace
}  // namespace leeward::control
