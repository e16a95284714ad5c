// A demand that a hold keeps for an experiment, and gains that were found by one.

#include <gtest/gtest.h>

#include <algorithm>
#include <limits>

#include "tests/engine/closed_loop.hpp"

namespace leeward::bench {
namespace {

control::Refusal keep_answer(ClosedLoop& loop, double demand_frac) {
  control::Request r;
  r.kind = control::RequestKind::keep;
  r.keep_frac = demand_frac;
  loop.request(r);
  const control::StepOutput out = loop.tick();
  return out.refusals.empty() ? control::Refusal::busy : out.refusals[0];
}

/// Experiments serve the plain law.
ClosedLoop held_loop(control::EngineConfig rig, const sim::HouseSpec& house, double pa) {
  rig.regulator.law = control::RegulatorLaw::plain;
  ClosedLoop loop(house, 1, rig);
  loop.baseline(10);
  loop.hold(pa, house.volume_m3);
  loop.run_for(60);
  return loop;
}

TEST(Experiment, AHoldKeepsADemandAndRegulatesAgain) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  ClosedLoop loop = held_loop(rig_for(house), house, 50);
  const double held = loop.state().applied_frac;

  EXPECT_EQ(keep_answer(loop, held + 0.03), control::Refusal::accepted);
  EXPECT_NEAR(loop.state().applied_frac, held + 0.03, 1e-9);
  loop.run_for(20);
  EXPECT_NEAR(loop.state().applied_frac, held + 0.03, 1e-9);
  EXPECT_GT(loop.true_induced_pa(), 54);
  EXPECT_EQ(keep_answer(loop, 0), control::Refusal::accepted);
  EXPECT_NEAR(loop.state().applied_frac, held + 0.03, 0.01);  // no bump
  loop.run_for(30);

  EXPECT_NEAR(loop.true_induced_pa(), 50, 0.5);
  EXPECT_FALSE(loop.state().guard.trip.active());
}

TEST(Experiment, AnotherHoldEndsIt) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  ClosedLoop loop = held_loop(rig_for(house), house, 50);
  (void)keep_answer(loop, loop.state().applied_frac + 0.03);

  loop.hold(50, house.volume_m3);
  loop.run_for(30);

  EXPECT_NEAR(loop.true_induced_pa(), 50, 0.5);
}

TEST(Experiment, OnlyAHoldKeepsADemandAndOnlyOneNearItsOwn) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  ClosedLoop idle(house, 1);
  EXPECT_EQ(keep_answer(idle, 0.1), control::Refusal::not_running);
  ClosedLoop loop = held_loop(rig_for(house), house, 50);
  const double held = loop.state().applied_frac;

  EXPECT_EQ(keep_answer(loop, held + 0.11), control::Refusal::out_of_range);
  EXPECT_EQ(keep_answer(loop, held - 0.11), control::Refusal::out_of_range);
  EXPECT_EQ(keep_answer(loop, -0.01), control::Refusal::out_of_range);
  EXPECT_EQ(keep_answer(loop, std::numeric_limits<double>::quiet_NaN()), control::Refusal::not_finite);
  EXPECT_NEAR(loop.state().applied_frac, held, 0.01);
}

TEST(Experiment, TheGuardCutsAKeptDemandToo) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  const auto highest_below = [&](double ceiling_pa, bool& was_cut) {
    control::EngineConfig rig = rig_for(house);
    rig.limits.building_pressure_max_pa = ceiling_pa;
    ClosedLoop loop = held_loop(rig, house, 50);
    (void)keep_answer(loop, loop.state().applied_frac + 0.09);
    double highest = 0;
    for (int i = 0; i < 300; ++i) {
      const control::StepOutput out = loop.tick();
      was_cut =
          was_cut || (out.trace.limited_by == control::LimitedBy::ceiling && out.trace.demand_frac == 0);
      highest = std::max(highest, loop.true_induced_pa());
    }
    return highest;
  };
  bool was_cut = false;
  bool was_cut_high = false;

  const double low = highest_below(52, was_cut);
  const double high = highest_below(80, was_cut_high);

  EXPECT_TRUE(was_cut);
  EXPECT_FALSE(was_cut_high);
  EXPECT_LT(low, high - 5);
}

TEST(Experiment, TheRegulatorUsesTheGainsOfTheFile) {
  const sim::HouseSpec house = calm_house(4, 400, 0.65);
  control::EngineConfig rig = rig_for(house);
  rig.regulator.tuned_pa = 50;
  rig.regulator.tuned_kc_frac_per_pa = 0.0033;
  rig.regulator.tuned_ti_s = 1.7;
  ClosedLoop loop = held_loop(rig, house, 50);
  const control::StepOutput found = loop.tick();
  ClosedLoop low = held_loop(rig, house, 10);
  const control::StepOutput carried = low.tick();

  EXPECT_NEAR(found.trace.gain_frac_per_pa, 0.0033, 1e-6);
  EXPECT_NEAR(found.trace.integral_time_s, 1.7, 1e-3);
  EXPECT_GT(carried.trace.gain_frac_per_pa, 1.2 * 0.0033);  // the plant has less gain at 10 Pa
  EXPECT_NEAR(low.true_induced_pa(), 10, 0.5);
}

}  // namespace
}  // namespace leeward::bench
