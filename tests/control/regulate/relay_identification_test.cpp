#include "control/regulate/relay_identification.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/control/regulate/relay_plant.hpp"

namespace leeward::control {
namespace {

using relay_plant::run_relay;

/// Cycles under a relay of +-1, exact, and the gain by the describing function; computed apart by simulation
/// and formula.
struct CycleRow {
  double gain, tau_s, delay_s, eps, a, period_s, ku;
};
constexpr CycleRow kCycleRows[] = {{1, 10, 2, 0, .181269, 7.331790, 7.0240},
                                   {1, 10, 2, .05, .222206, 9.039011, 5.8808},
                                   {1, 1, 1, 0, .632121, 2.979760, 2.0142},
                                   {2, 5, 1, 0, .362538, 3.665895, 3.5120},
                                   {1, 10, .5, 0, .048771, 1.952372, 26.107}};

LagModel cycle_plant(const CycleRow& row) {
  return {.gain = row.gain, .tau_s = row.tau_s, .delay_s = row.delay_s};
}

RelaySpec cycle_spec(double d, double eps) {
  return {.amplitude_frac = d, .hysteresis_pa = eps, .bounds = {.bound_pa = 1e9, .most_s = 1e4}};
}

TEST(RelayIdentification, KnowsTheExactCycleAndTheDescribingFunction) {
  for (const CycleRow& row : kCycleRows) {
    const RelayCycle cycle = relay_cycle_of(cycle_plant(row), 1, row.eps);
    EXPECT_NEAR(cycle.amplitude_pa, row.a, 6e-7) << row.tau_s;  // six decimals
    EXPECT_NEAR(cycle.period_s, row.period_s, 6e-7) << row.tau_s;
    EXPECT_NEAR(describing_function_gain(1, row.eps, row.a) / row.ku, 1, 3e-5) << row.tau_s;
  }
  const RelayCycle integrator = relay_cycle_of(IntegratingModel{1, 1}, 1, 0);
  EXPECT_NEAR(integrator.amplitude_pa, 1, 1e-12);
  EXPECT_NEAR(integrator.period_s, 4, 1e-12);
  EXPECT_NEAR(describing_function_gain(1, 0, 1), 4 / std::numbers::pi, 1e-12);
}

TEST(RelayIdentification, TakesTheHysteresisIntoTheDescribingFunction) {  // A2
  EXPECT_NEAR(describing_function_gain(1, .05, .222206), 5.8808, 2e-4);
  EXPECT_NEAR(describing_function_gain(1, 0, .222206), 5.7300, 2e-4);
  EXPECT_EQ(describing_function_gain(1, .3, .2), 0);
}

TEST(RelayIdentification, TheExactInversionGivesThePlantBack) {
  for (const CycleRow& row : kCycleRows) {
    const auto model = model_from_cycle(row.gain, 1, row.eps, relay_cycle_of(cycle_plant(row), 1, row.eps));
    ASSERT_TRUE(model.has_value());
    EXPECT_NEAR(model->tau_s / row.tau_s, 1, 1e-9);
    EXPECT_NEAR(model->delay_s / row.delay_s, 1, 1e-9);
  }
  const auto integrator = integrating_from_cycle(2, .1, relay_cycle_of(IntegratingModel{3, .7}, 2, .1));
  ASSERT_TRUE(integrator.has_value());
  EXPECT_NEAR(integrator->slope, 3, 1e-9);
  EXPECT_NEAR(integrator->delay_s, .7, 1e-9);
}

TEST(RelayIdentification, SaysNothingWhereNoPlantHasSuchACycle) {
  EXPECT_FALSE(model_from_cycle(1, 1, 0, {.amplitude_pa = 1.1, .period_s = 3}).has_value());
  EXPECT_FALSE(model_from_cycle(1, 1, .2, {.amplitude_pa = .1, .period_s = 3}).has_value());
  EXPECT_FALSE(model_from_cycle(1, 1, 0, {.amplitude_pa = .5, .period_s = 0}).has_value());
  EXPECT_FALSE(integrating_from_cycle(1, .2, {.amplitude_pa = .1, .period_s = 3}).has_value());
  EXPECT_FALSE(measure_of(relay_start(0, 0)).has_value());
}

// The experiment itself, sampled finely: half-amplitudes on both sides (A1), the plant within 1 % (A5).
TEST(RelayIdentification, AnExperimentRecoversThePlant) {
  for (const CycleRow& row : kCycleRows) {
    const auto run = run_relay(cycle_spec(1, row.eps), cycle_plant(row), 0.001);

    ASSERT_EQ(run.state.watch.end, ExperimentEnd::done);
    const auto measured = measure_of(run.state);
    ASSERT_TRUE(measured.has_value());
    EXPECT_NEAR(measured->cycle.amplitude_pa / row.a, 1, 0.003) << row.tau_s;
    EXPECT_NEAR(measured->cycle.period_s / row.period_s, 1, 0.003) << row.tau_s;
    EXPECT_LT(std::abs(measured->asymmetry), 0.003);
    const auto model = model_from_cycle(row.gain, 1, row.eps, measured->cycle);
    ASSERT_TRUE(model.has_value());
    EXPECT_NEAR(model->tau_s / row.tau_s, 1, 0.01) << row.tau_s;
    EXPECT_NEAR(model->delay_s / row.delay_s, 1, 0.01) << row.tau_s;
  }
}

TEST(RelayIdentification, AnExperimentRecoversAnIntegrator) {
  const auto run = run_relay(cycle_spec(1, 0), {.gain = 1, .tau_s = 0, .delay_s = 1}, 0.001);

  const auto measured = measure_of(run.state);
  ASSERT_TRUE(measured.has_value());
  const auto model = integrating_from_cycle(1, 0, measured->cycle);
  ASSERT_TRUE(model.has_value());
  EXPECT_NEAR(model->slope, 1, 0.01);
  EXPECT_NEAR(model->delay_s, 1, 0.01);
}

TEST(RelayIdentification, ReportsAnAsymmetricCycle) {  // A3
  const LagModel plant{.gain = 1, .tau_s = 10, .delay_s = 2};
  const auto even = measure_of(run_relay(cycle_spec(1, 0.05), plant, 0.01).state);
  const auto loaded = measure_of(run_relay(cycle_spec(1, 0.05), plant, 0.01, -0.4).state);

  ASSERT_TRUE(even.has_value() && loaded.has_value());
  EXPECT_LT(std::abs(even->asymmetry), 0.01);
  EXPECT_GT(loaded->asymmetry, kMostAsymmetry);
  EXPECT_GT(loaded->high_s, 1.5 * loaded->low_s);
}

}  // namespace
}  // namespace leeward::control
