#include "daemon/tune/tune.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "daemon/tune/run_experiment.hpp"
#include "sim/random_house.hpp"

namespace leeward::daemon {
namespace {

TuneOptions tune_options(std::uint64_t house, TuneMethod method, TuneRule rule = TuneRule::simc) {
  TuneOptions out;
  out.rig.rig_name = "test-rig";
  out.rig.fans.push_back(sim::demo_fan());
  out.house = sim::random_house(house, sim::PopulationSpec{});
  out.seed = house;
  out.method = method;
  out.rule = rule;
  return out;
}

control::ProcessModel tuned_process(const control::LagModel& m) {
  control::ProcessModel out{.gain = m.gain, .delay_s = m.delay_s};
  out.lags_s.push_back(m.tau_s);
  return out;
}

/// Calm houses of a population: every method finds gains that are robust on the model of the other one.
TEST(Tune, FindsRobustGainsWithinItsBounds) {
  for (std::uint64_t house = 1; house <= 8; ++house) {
    const auto relay = tune(tune_options(house, TuneMethod::relay));
    const auto step = tune(tune_options(house, TuneMethod::step));
    ASSERT_TRUE(relay.has_value()) << house << ": " << relay.error().text;
    ASSERT_TRUE(step.has_value()) << house << ": " << step.error().text;

    for (const TuneResult* r : {&*relay, &*step}) {
      EXPECT_TRUE(r->margins.stable) << house;
      EXPECT_LT(r->margins.ms, 2) << house;
      EXPECT_TRUE(r->trial.settled) << house;
      EXPECT_LT(r->trial.overshoot_frac, 0.1) << house;
      EXPECT_GT(r->gains.kc, 0) << house;
      EXPECT_TRUE(std::isfinite(r->gains.ti_s)) << house;
      ASSERT_TRUE(r->experiment.has_value());
      EXPECT_LE(r->experiment->furthest_pa, 5) << house;
      EXPECT_FALSE(r->after.tripped) << house;
      EXPECT_LT(r->after.overshoot_pa, 1) << house;
      EXPECT_LT(r->after.unrest_pa, 0.2) << house;
      EXPECT_TRUE(r->cautions.empty()) << house;
    }
    const control::LoopMargins crossed =
        control::loop_margins({.kc = relay->gains.kc, .ti_s = relay->gains.ti_s}, tuned_process(step->model));
    EXPECT_TRUE(crossed.stable) << house;
    EXPECT_LT(crossed.ms, 2.2) << house;
  }
}

TEST(Tune, TheBuildingItselfStaysWithinTheBounds) {
  for (const auto& experiment : {relay_on, step_on}) {
    const TuneOptions options = tune_options(3, TuneMethod::relay);
    TuneBench bench(options.rig, options.house, options.seed);
    ASSERT_TRUE(come_to_hold(bench, 50).has_value());
    const double demand = bench.demand_frac();

    ASSERT_TRUE(experiment(bench, 5).has_value());

    EXPECT_LT(bench.most_true_pa(), 50 + 5 + 1);  // zero-flow pressure and the way there included
    EXPECT_NEAR(bench.demand_frac(), demand, 0.02);
    EXPECT_NEAR(bench.true_pressure_pa(), 50, 1);
    EXPECT_FALSE(bench.trip().active());
  }
}

/// A house of whose gain at 10 Pa the curves know too little: the first step leaves the bounds.
TEST(Tune, MakesAStepSmallerThatLeftItsBounds) {
  TuneOptions options = tune_options(11, TuneMethod::step);
  options.pressure_pa = 10;
  options.bound_pa = 4;

  const auto found = tune(options);

  ASSERT_TRUE(found.has_value()) << found.error().text;
  EXPECT_GT(found->experiment->furthest_pa, 4);
  EXPECT_LT(found->experiment->furthest_pa, 4.5);
  EXPECT_LT(found->margins.ms, 2);
}

TEST(Tune, EveryRuleGivesALoopWithMargin) {
  for (const TuneRule rule : {TuneRule::simc, TuneRule::amigo, TuneRule::amigo_pid}) {
    const auto found = tune(tune_options(2, TuneMethod::step, rule));
    ASSERT_TRUE(found.has_value()) << found.error().text;
    EXPECT_LT(found->margins.ms, 2);
    EXPECT_EQ(found->gains.td_s > 0, rule == TuneRule::amigo_pid);
    EXPECT_EQ(found->regulator.derivative_s > 0, rule == TuneRule::amigo_pid);
    EXPECT_FALSE(found->after.tripped);
  }
}

TEST(Tune, ByTheModelAloneMovesNothingAndSaysSo) {
  const auto found = tune(tune_options(2, TuneMethod::model));

  ASSERT_TRUE(found.has_value());
  EXPECT_FALSE(found->experiment.has_value());
  EXPECT_LT(found->margins.ms, 2);
  EXPECT_EQ(found->cautions.size(), 1U);
}

TEST(Tune, GivesTheSameFiguresAgain) {
  const auto one = tune(tune_options(4, TuneMethod::relay));
  const auto two = tune(tune_options(4, TuneMethod::relay));

  ASSERT_TRUE(one.has_value() && two.has_value());
  EXPECT_EQ(one->regulator, two->regulator);
  EXPECT_EQ(one->experiment->record.pressure_pa, two->experiment->record.pressure_pa);
}

TEST(Tune, WritesTheGainsThatTheRegulatorTakes) {
  const auto found = tune(tune_options(2, TuneMethod::relay));

  ASSERT_TRUE(found.has_value());
  EXPECT_EQ(found->regulator.tuned_pa, 50);
  EXPECT_NEAR(found->regulator.tuned_kc_frac_per_pa / found->gains.kc, 1, 1e-3);  // four digits
  EXPECT_NEAR(found->regulator.tuned_ti_s / found->gains.ti_s, 1, 1e-3);
}

TEST(Tune, RefusesWhatComesNearTheCeilingAndWhatTheFanCannotReach) {
  TuneOptions high = tune_options(2, TuneMethod::relay);
  high.pressure_pa = 70;
  TuneOptions leaky = tune_options(2, TuneMethod::relay);
  for (sim::LeakSpec& leak : leaky.house.leaks) leak.c_m3_s_pan *= 200;
  leaky.pressure_pa = 50;
  TuneOptions open = tune_options(2, TuneMethod::relay);
  for (sim::LeakSpec& leak : open.house.leaks) leak.c_m3_s_pan *= 1e4;

  const auto refused = tune(high);
  const auto unreached = tune(leaky);
  const auto unfelt = tune(open);

  ASSERT_FALSE(refused.has_value());
  EXPECT_NE(refused.error().text.find("ceiling of 80 Pa"), std::string::npos) << refused.error().text;
  ASSERT_FALSE(unreached.has_value());
  EXPECT_NE(unreached.error().text.find("can't hold"), std::string::npos) << unreached.error().text;
  ASSERT_FALSE(unfelt.has_value());
  EXPECT_NE(unfelt.error().text.find("does not follow"), std::string::npos) << unfelt.error().text;
}

TEST(Tune, GivesUpInAGaleInsteadOfInventing) {
  for (const TuneMethod method : {TuneMethod::relay, TuneMethod::step}) {
    TuneOptions windy = tune_options(2, method);
    windy.house.wind.mean_m_s = 9;
    windy.house.wind.shelter_factor = 0.9;
    EXPECT_FALSE(tune(windy).has_value());
  }
}

}  // namespace
}  // namespace leeward::daemon
