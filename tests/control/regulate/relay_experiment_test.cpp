#include "control/regulate/relay_experiment.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "control/regulate/relay_identification.hpp"
#include "tests/control/regulate/relay_plant.hpp"
#include "tests/counted_new.hpp"

namespace leeward::control {
namespace {

using relay_plant::run_relay;

RelaySpec relay_spec(double d, double eps, double bound = 1e9) {
  return {.amplitude_frac = d, .hysteresis_pa = eps, .bounds = {.bound_pa = bound, .most_s = 1000}};
}

ExperimentInput relay_reading(double y) { return {.dt_s = 0.1, .fresh = true, .y_pa = y, .abort = false}; }

TEST(RelayStep, BeginsAndEndsAtTheDemandOfTheHold) {  // A4
  RelaySpec spec = relay_spec(0.02, 0.3);
  spec.cycles = 1;
  spec.settle = 0;
  RelayState s = relay_start(0.4, 50);
  double y = 50;

  EXPECT_EQ(relay_step(spec, s, relay_reading(y)), 0.4 + 0.02);
  for (int half = 0; half < 3; ++half) {
    y = half % 2 == 0 ? 50.31 : 49.69;
    (void)relay_step(spec, s, relay_reading(y));
  }

  EXPECT_EQ(s.watch.end, ExperimentEnd::done);
  EXPECT_EQ(relay_step(spec, s, relay_reading(y)), 0.4);
  EXPECT_EQ(relay_step(spec, s, relay_reading(60)), 0.4);
  EXPECT_EQ(s.watch.end, ExperimentEnd::done);
}

TEST(RelayStep, TurnsBeyondTheHysteresisAlone) {
  const RelaySpec spec = relay_spec(0.125, 0.25);
  RelayState s = relay_start(0.5, 50);

  for (const double y : {50.0, 50.2, 50.25, 49.0}) EXPECT_EQ(relay_step(spec, s, relay_reading(y)), 0.625);
  EXPECT_EQ(relay_step(spec, s, relay_reading(50.26)), 0.375);
  for (const double y : {50.0, 49.8, 49.75, 51.0}) EXPECT_EQ(relay_step(spec, s, relay_reading(y)), 0.375);
  EXPECT_EQ(relay_step(spec, s, relay_reading(49.74)), 0.625);
}

TEST(RelayStep, LeavesTheFirstCyclesOut) {
  RelaySpec spec = relay_spec(0.02, 0.3);
  spec.cycles = 1;
  spec.settle = 2;
  RelayState s = relay_start(0.4, 50);
  for (int half = 0; half < 100 && s.watch.end == ExperimentEnd::running; ++half)
    (void)relay_step(spec, s, relay_reading(s.high ? 50.31 : 49.69));

  EXPECT_EQ(s.switches, 7);  // the one from rest, two cycles to settle, one cycle that is measured
  EXPECT_EQ(s.halves.size(), 2U);
}

TEST(RelayStep, EndsInTheTickThatLeavesItsBounds) {  // A4
  const RelaySpec spec = relay_spec(0.02, 0.3, 5);
  for (const double y : {55.1, 44.9}) {
    RelayState s = relay_start(0.4, 50);
    (void)relay_step(spec, s, relay_reading(50));
    EXPECT_EQ(relay_step(spec, s, relay_reading(y)), 0.4);
    EXPECT_EQ(s.watch.end, ExperimentEnd::out_of_bounds);
  }
}

TEST(RelayStep, EndsWhenItsTimeIsOverOrItIsToldTo) {  // A4
  RelaySpec spec = relay_spec(0.02, 0.3);
  spec.bounds.most_s = 5;
  RelayState late = relay_start(0.4, 50);
  for (int k = 0; k < 52; ++k) (void)relay_step(spec, late, relay_reading(50));
  RelayState told = relay_start(0.4, 50);
  ExperimentInput stop = relay_reading(50);
  stop.abort = true;

  EXPECT_EQ(late.watch.end, ExperimentEnd::out_of_time);
  EXPECT_EQ(relay_step(spec, told, stop), 0.4);
  EXPECT_EQ(told.watch.end, ExperimentEnd::aborted);
}

TEST(RelayStep, EndsWithoutReadings) {
  const RelaySpec spec = relay_spec(0.02, 0.3);
  RelayState blind = relay_start(0.4, 50);
  int ticks = 0;
  while (blind.watch.end == ExperimentEnd::running && ++ticks < 100)
    (void)relay_step(spec, blind, {.dt_s = 0.1, .fresh = false, .y_pa = 0, .abort = false});
  RelayState broken = relay_start(0.4, 50);

  EXPECT_EQ(blind.watch.end, ExperimentEnd::bad_reading);
  EXPECT_EQ(ticks, 6);
  EXPECT_EQ(relay_step(spec, broken, relay_reading(std::numeric_limits<double>::quiet_NaN())), 0.4);
  EXPECT_EQ(broken.watch.end, ExperimentEnd::bad_reading);
}

TEST(RelayStep, NoiseBelowAThirdOfTheHysteresisAddsNoFalseSwitch) {  // A6
  const LagModel plant{.gain = 1, .tau_s = 10, .delay_s = 2};
  RelaySpec spec = relay_spec(5, 0.3);
  spec.cycles = kMostCycles;
  for (std::uint32_t seed = 1; seed <= 20; ++seed) {
    relay_plant::Noise noise(seed);

    const auto run = run_relay(spec, plant, 0.1, 0, [&] { return 0.33 * 0.3 * noise(); });

    ASSERT_EQ(run.state.watch.end, ExperimentEnd::done) << seed;
    for (const RelayHalf& half : run.state.halves) EXPECT_GT(half.lasted_s, 2.5) << seed;
  }
}

TEST(RelayStep, AllocatesNothing) {
  const RelaySpec spec = relay_spec(0.02, 0.3);
  RelayState s = relay_start(0.4, 50);
  const std::size_t before = test::allocations();

  for (int k = 0; k < 500; ++k) (void)relay_step(spec, s, relay_reading(50 + (k % 20 < 10 ? 1 : -1)));

  EXPECT_EQ(test::allocations(), before);
}

}  // namespace
}  // namespace leeward::control
