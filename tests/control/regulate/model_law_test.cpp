#include "control/regulate/model_law.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "control/regulate/supervisor.hpp"
#include "tests/control/plant_twin.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

/// A twin under the law, with the filter that it has.
struct LawLoop {
  explicit LawLoop(double level, double compliance_m3_pa = 0.008) : twin(level, compliance_m3_pa) {
    filter = plant_prior(twin.model(), 400, house_prior(400), fan_map_prior(true));
  }
  ModelDemand tick(double target_pa) {
    plant_predict(filter, twin.model(), filter.waiting_frac, 0.1);
    filter.waiting_frac = demand;
    measured = twin.pressure_reading_pa();
    plant_see_pressure(filter, measured);
    plant_see_signal(filter, twin.signal_reading_pa());
    plant_anchor(filter, twin.model(), 0.1);
    const ModelDemand out =
        model_demand(state, twin.model(), filter,
                     {.pressure_pa = target_pa, .measured_pa = measured, .acting_frac = demand});
    demand = out.demand_frac;
    twin.step(demand);
    return out;
  }
  PlantTwin twin;
  PlantFilter filter;
  ModelState state;
  double demand = 0;
  double measured = 0;
};

struct StepSeen {
  double settled_s = 0;
  double farthest_pa = -1e9;  ///< beyond the target, along the step
};

StepSeen step_to(LawLoop& loop, double target_pa, double from_pa) {
  StepSeen seen;
  for (int i = 1; i <= 400; ++i) {
    (void)loop.tick(target_pa);
    const double off = loop.twin.at().pressure_pa - target_pa;
    if (std::abs(off) > 1) seen.settled_s = 0.1 * i;
    seen.farthest_pa = std::max(seen.farthest_pa, target_pa > from_pa ? off : -off);
  }
  return seen;
}

/// The quickest there is with this drive: full demand until so late that braking at once just ends at
/// target + 1, found by halving, by the twin's equations and nothing of the law.
double quickest_s(double level, double compliance_m3_pa, double target_pa, double from_demand) {
  const auto peak = [&](double until_s, double& reached_s) {
    PlantTwin twin(level, compliance_m3_pa);
    for (int i = 0; i < 600; ++i) twin.step(from_demand);
    reached_s = 0;
    double most = 0;
    for (int i = 1; i <= 300; ++i) {
      twin.step(0.1 * i <= until_s ? 1 : 0.05);
      most = std::max(most, twin.at().pressure_pa);
      if (reached_s <= 0 && twin.at().pressure_pa > target_pa - 1) reached_s = 0.1 * i;
    }
    return most;
  };
  double low = 0, high = 20, reached = 0;
  for (int i = 0; i < 30; ++i) {
    const double middle = 0.5 * (low + high);
    (peak(middle, reached) > target_pa + 1 ? high : low) = middle;
  }
  (void)peak(high, reached);
  return reached;
}

TEST(ModelLaw, StepsOfAnUnknownHouseComeNearTheQuickestThatTheDriveAllows) {
  for (const double level : {-3.0, -2.0, -1.5, -1.0}) {
    LawLoop loop(level);
    const StepSeen low = step_to(loop, 10, 0);
    const double from_demand = loop.demand;
    const StepSeen high = step_to(loop, 50, 10);
    const StepSeen down = step_to(loop, 40, 50);

    EXPECT_LT(low.farthest_pa, 1.5) << "level " << level;
    EXPECT_LT(high.farthest_pa, 1) << "level " << level;
    EXPECT_LT(down.farthest_pa, 1) << "level " << level;
    EXPECT_LT(low.settled_s, 9) << "level " << level;
    EXPECT_LT(down.settled_s, 6) << "level " << level;
    EXPECT_LT(high.settled_s, 1.5 * quickest_s(level, 0.008, 50, from_demand)) << "level " << level;
  }
}

TEST(ModelLaw, KeepsWithinTheDemandsItMayUse) {
  LawLoop loop(-1);
  std::uint64_t seed = 3;
  const auto next = [&seed] {
    seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<double>(seed >> 11U) / 9007199254740992.0;
  };
  for (int i = 0; i < 5000; ++i) {
    PlantFilter f = loop.filter;
    for (double& x : f.x) x += 6 * (next() - 0.5);
    f.ramp_speed = 1.5 * next();
    const ModelDemand out = model_demand(loop.state, loop.twin.model(), f,
                                         {.pressure_pa = 80 * next(),
                                          .moving = next() < 0.3,
                                          .measured_pa = 200 * (next() - 0.3),
                                          .acting_frac = next(),
                                          .min_frac = 0.07,
                                          .max_frac = 0.9,
                                          .dt_s = 0.02 + 0.4 * next()});
    ASSERT_GE(out.demand_frac, 0.07);
    ASSERT_LE(out.demand_frac, 0.9);
  }
}

TEST(ModelLaw, AHoldDoesNotShakeTheFanInStillAir) {
  LawLoop loop(-2);
  for (int i = 0; i < 600; ++i) (void)loop.tick(30);
  double least = 1, most = 0;
  for (int i = 0; i < 600; ++i) {
    (void)loop.tick(30);
    least = std::min(least, loop.demand);
    most = std::max(most, loop.demand);
  }
  EXPECT_LT(most - least, 0.12);
  EXPECT_NEAR(loop.twin.at().pressure_pa, 30, 0.5);
}

/// What the supervisor needs of an engine.
struct Supervised {
  explicit Supervised(LawLoop& law) : loop(law) {
    in.drive = true;
    in.dt_s = 0.1;
    in.fresh = true;
    in.min_demand_frac = 0.05;
    in.house = &house;
    in.fan_map = &map;
    in.curve = loop.twin.model().curve;
    in.restriction = loop.twin.model().restriction;
  }
  RegulatorOutput tick(double target_pa, double keep_frac = 0) {
    PlantFilter& f = loop.filter;
    plant_predict(f, loop.twin.model(), f.waiting_frac, 0.1);
    f.waiting_frac = in.last_applied_frac;
    in.measured_pa = loop.twin.pressure_reading_pa();
    plant_see_pressure(f, in.measured_pa);
    plant_see_signal(f, loop.twin.signal_reading_pa());
    plant_anchor(f, loop.twin.model(), 0.1);
    in.target_pa = target_pa;
    in.keep_frac = keep_frac;
    in.stamp_ns += 100'000'000;
    const RegulatorOutput out = supervisor_step(spec, state, in, loop.twin.model(), f);
    in.last_applied_frac = out.demand_frac;
    loop.twin.step(out.demand_frac);
    return out;
  }
  LawLoop& loop;
  RegulatorSpec spec;
  SupervisorState state;
  RegulatorInput in;
  HouseCurve house = house_prior(400);
  FanMap map = fan_map_prior(true);
};

TEST(Supervisor, FallsBackToThePlainLawWithoutABumpAndReturns) {
  LawLoop loop(-1.5);
  Supervised run(loop);
  for (int i = 0; i < 300; ++i) (void)run.tick(30);
  ASSERT_TRUE(run.state.model_drives);
  const double before = run.in.last_applied_frac;

  loop.filter.surprise = {1e3, 1e3};
  const RegulatorOutput first = run.tick(30);

  EXPECT_FALSE(run.state.model_drives);
  EXPECT_NEAR(first.demand_frac, before, 0.02);
  double farthest = 0;
  int ticks = 0;
  for (; ticks < 1200 && !run.state.model_drives; ++ticks) {
    (void)run.tick(30);
    farthest = std::max(farthest, std::abs(loop.twin.at().pressure_pa - 30));
  }
  EXPECT_TRUE(run.state.model_drives);
  EXPECT_GT(ticks, 100);  // ten seconds of forecasts that come true
  EXPECT_LT(farthest, 3);
}

TEST(Supervisor, FallsBackWhereTheDemandSwingsBeforeTheGuardHasToStopIt) {
  LawLoop loop(-1.5);
  Supervised run(loop);
  for (int i = 0; i < 200; ++i) (void)run.tick(30);
  run.in.swings = 4;
  (void)run.tick(30);
  EXPECT_FALSE(run.state.model_drives);
  run.in.swings = 0;
  for (int i = 0; i < 500; ++i) (void)run.tick(30);
  EXPECT_FALSE(run.state.model_drives) << "for a minute";
  for (int i = 0; i < 200; ++i) (void)run.tick(30);
  EXPECT_TRUE(run.state.model_drives);
}

TEST(Supervisor, KeepsADemandThatIsToBeKept) {
  LawLoop loop(-1.5);
  Supervised run(loop);
  for (int i = 0; i < 200; ++i) (void)run.tick(30);
  const double kept = run.in.last_applied_frac;
  for (int i = 0; i < 50; ++i) EXPECT_NEAR(run.tick(30, kept).demand_frac, kept, 1e-12);
}

TEST(Supervisor, WithoutAFreshReadingTheFanKeepsOn) {
  LawLoop loop(-1.5);
  Supervised run(loop);
  for (int i = 0; i < 30; ++i) (void)run.tick(50);
  const double before = run.in.last_applied_frac;
  run.in.fresh = false;
  EXPECT_NEAR(run.tick(50).demand_frac, before, 1e-12);
}

TEST(Supervisor, ClimbsAtTheRateThatItIsGiven) {
  LawLoop loop(-1.5);
  Supervised run(loop);
  run.in.rate_pa_s = 2;
  double steepest = 0;
  double last = loop.twin.at().pressure_pa;
  for (int i = 0; i < 400; ++i) {
    (void)run.tick(50);
    if (i % 20 == 19) {
      steepest = std::max(steepest, (loop.twin.at().pressure_pa - last) / 2);
      last = loop.twin.at().pressure_pa;
    }
  }
  EXPECT_LT(steepest, 2.6);
  EXPECT_NEAR(last, 50, 1);
}

TEST(Supervisor, AllocatesNothing) {
  LawLoop loop(-1.5);
  Supervised run(loop);
  (void)run.tick(10);
  const std::size_t before = test::allocations();
  for (int i = 0; i < 200; ++i) (void)run.tick(i < 100 ? 50 : 20);
  EXPECT_EQ(test::allocations(), before);
}

}  // namespace
}  // namespace leeward::control
