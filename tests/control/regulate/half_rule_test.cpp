// Skogestad, J. Process Control 13 (2003) 291-309, table of examples: the rule and the settings from memory,
// the peaks of the sensitivity on the true process computed apart (numpy), to their third decimal.
#include "control/regulate/half_rule.hpp"

#include <gtest/gtest.h>

#include "control/regulate/loop_margins.hpp"

namespace leeward::control {
namespace {

Factors half_rule_factors(std::initializer_list<double> values) {
  Factors out;
  for (const double v : values) out.push_back(v);
  return out;
}

struct HalfRuleRow {
  const char* name;
  ModelOrder order;
  ProcessModel process;
  double gain, delay_s, tau_s, tau2_s;  ///< tau 0: the process integrates
  double kc, ti_s, ms;
};

ProcessModel half_rule_process(double gain, std::initializer_list<double> lags,
                               std::initializer_list<double> zeros, double delay_s, bool integrates = false) {
  return {gain, half_rule_factors(lags), half_rule_factors(zeros), integrates, delay_s};
}

const ProcessModel kE2 = half_rule_process(1, {2, 1, .4, .2, .05, .05, .05}, {-.3, .08}, 0);
const ProcessModel kE3 = half_rule_process(2, {20, 1, .1, .1}, {15}, 0);
const ProcessModel kE4 = half_rule_process(1, {1, 1, 1, 1}, {}, 0);
const ProcessModel kE5 = half_rule_process(1, {1, .2, .04, .008}, {}, 0);
const ProcessModel kE7 = half_rule_process(1, {1, 1, 1}, {-2}, 0);
const ProcessModel kE8 = half_rule_process(1, {1, 1}, {}, 0, true);
const ProcessModel kE9 = half_rule_process(1, {1, 1}, {}, 1);
const ProcessModel kE10 = half_rule_process(1, {20, 2}, {}, 1);
const ProcessModel kE11 = half_rule_process(1, {6, 2, 2}, {-1}, 1);
constexpr ModelOrder kPi = ModelOrder::first;
constexpr ModelOrder kPid = ModelOrder::second;

const HalfRuleRow kHalfRuleRows[] = {
    {"E1", kPi, half_rule_process(1, {1, .2}, {}, 0), 1, .1, 1.1, 0, 5.5, .8, 1.560},
    {"E2", kPi, kE2, 1, 1.47, 2.5, 0, .8503, 2.5, 1.662},
    {"E2 PID", kPid, kE2, 1, .77, 2, 1.2, 1.299, 2, 1.724},
    {"E3", kPi, kE3, 1.5, .15, 1.05, 0, 2.333, 1.05, 1.550},
    {"E3 PID", kPid, kE3, 1.5, .05, 1, .15, 6.667, .4, 1.498},
    {"E4", kPi, kE4, 1, 2.5, 1.5, 0, .3, 1.5, 1.463},
    {"E4 PID", kPid, kE4, 1, 1.5, 1.5, 1, .5, 1.5, 1.432},
    {"E5", kPi, kE5, 1, .148, 1.1, 0, 3.716, 1.1, 1.593},
    {"E5 PID", kPid, kE5, 1, .028, 1, .22, 17.86, .224, 1.827},
    {"E7", kPi, kE7, 1, 3.5, 1.5, 0, .2143, 1.5, 1.660},
    {"E7 PID", kPid, kE7, 1, 2.5, 1.5, 1, .3, 1.5, 1.851},
    {"E8", kPi, kE8, 1, 1.5, 0, 0, .3333, 12, 1.771},
    {"E8 PID", kPid, kE8, 1, .5, 0, 1.5, 1, 4, 1.603},
    {"E9", kPi, kE9, 1, 1.5, 1.5, 0, .5, 1.5, 1.614},
    {"E9 PID", kPid, kE9, 1, 1, 1, 1, .5, 1, 1.590},
    {"E10", kPi, kE10, 1, 2, 21, 0, 5.25, 16, 1.716},
    {"E10 PID", kPid, kE10, 1, 1, 20, 2, 10, 8, 1.651},
    {"E11", kPi, kE11, 1, 5, 7, 0, .7, 7, 1.626},
    {"E11 PID", kPid, kE11, 1, 3, 6, 3, 1, 6, 1.657},
    {"E12", kPi, half_rule_process(1, {10, 8, 1}, {6, 3}, .3), .225, .3, 1, 0, 7.407, 1, 1.657},
    {"E13", kPi, half_rule_process(1, {10, .5}, {2}, 1), .625, 1.25, 4.5, 0, 2.88, 4.5, 1.737},
    {"E14", kPi, half_rule_process(1, {}, {-1}, 0, true), 1, 1, 0, 0, .5, 8, 2.000},
    {"E15", kPi, half_rule_process(1, {1}, {-1}, 0), 1, 1, 1, 0, .5, 1, 2.000},
};

SimcGains half_rule_gains(const ReducedModel& r) {
  const LagModel& m = r.model;
  return r.integrates ? simc_integrating(m.gain, m.delay_s, m.tau2_s, m.delay_s) : simc_gains(m, m.delay_s);
}

TEST(HalfRule, LeavesThePublishedModels) {
  for (const HalfRuleRow& row : kHalfRuleRows) {
    const ReducedModel reduced = half_rule(row.process, row.order);

    EXPECT_NEAR(reduced.model.gain, row.gain, 1e-9) << row.name;
    EXPECT_NEAR(reduced.model.delay_s, row.delay_s, 1e-9) << row.name;
    EXPECT_EQ(reduced.integrates, row.tau_s == 0) << row.name;
    if (!reduced.integrates) {
      EXPECT_NEAR(reduced.model.tau_s, row.tau_s, 1e-9) << row.name;
    }
    EXPECT_NEAR(reduced.model.tau2_s, row.tau2_s, 1e-9) << row.name;
  }
}

TEST(HalfRule, WithTheSimcRulesGivesThePublishedSettingsAndPeaks) {
  for (const HalfRuleRow& row : kHalfRuleRows) {
    const SimcGains gains = half_rule_gains(half_rule(row.process, row.order));

    const LoopMargins margins =
        loop_margins({gains.kc, gains.ti_s, gains.td_s, 0, PidForm::series}, row.process);

    EXPECT_NEAR(gains.kc / row.kc, 1, 4e-4) << row.name;  // relative: the table has four digits
    EXPECT_NEAR(gains.ti_s, row.ti_s, 1e-9) << row.name;
    EXPECT_NEAR(margins.ms, row.ms, 6e-4) << row.name;  // absolute: it has three decimals
    EXPECT_TRUE(margins.stable) << row.name;
  }
}

TEST(HalfRule, TakesHalfTheSamplePeriodForDelay) {
  const ReducedModel plain = half_rule(kE9, ModelOrder::first);
  const ReducedModel sampled = half_rule(kE9, ModelOrder::first, 0.5);

  EXPECT_NEAR(sampled.model.delay_s - plain.model.delay_s, 0.25, 1e-12);
  EXPECT_EQ(sampled.model.tau_s, plain.model.tau_s);
}

TEST(HalfRule, ScalesWithTimeAndGain) {
  for (const HalfRuleRow& row : kHalfRuleRows) {
    ProcessModel slow = row.process;
    for (double& lag : slow.lags_s) lag *= 10;
    for (double& zero : slow.zeros_s) zero *= 10;
    slow.delay_s *= 10;
    slow.gain *= 3;

    const ReducedModel one = half_rule(row.process, row.order);
    const ReducedModel other = half_rule(slow, row.order);

    EXPECT_NEAR(other.model.gain, 3 * one.model.gain, 1e-9) << row.name;
    EXPECT_NEAR(other.model.delay_s, 10 * one.model.delay_s, 1e-9) << row.name;
    EXPECT_NEAR(other.model.tau2_s, 10 * one.model.tau2_s, 1e-9) << row.name;
  }
}

}  // namespace
}  // namespace leeward::control
