#include "sim/plant.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/physics/flow_element.hpp"
#include "control/physics/moist_air.hpp"
#include "sim/house_truth.hpp"
#include "tests/sim/plant_houses.hpp"

namespace leeward::sim {
namespace {

using control::Direction;
using plant_houses::calm_house;
using plant_houses::drive;
using plant_houses::one_leak_house;
using plant_houses::run;

TEST(Plant, SteadyFlowIsThePowerLawAtTheInducedPressure) {
  const HouseSpec house = calm_house();
  for (const Direction direction : {Direction::depressurize, Direction::pressurize}) {
    Plant plant(house);
    plant.set_fitted(1);
    plant.set_direction(direction);
    for (const double demand : {0.3, 0.5, 0.7}) {
      drive(plant, demand, 60);
      const Truth truth = plant.truth();
      EXPECT_GT(control::along(direction, truth.induced_pa), 5);
      EXPECT_NEAR(truth.flow_m3_s / std::abs(true_flow_at(house, truth.induced_pa)), 1, 1e-5);
    }
  }
}

TEST(Plant, PressureFollowsItsTimeConstantForALinearLeak) {
  for (const double tau_s : {0.02, 0.3, 3.0, 30.0}) {
    HouseSpec house = one_leak_house(1, 1);
    const double capacity = house.volume_m3 / (1.2 * 101325) * 1.5;  // m3/Pa: V / (k p) * (1 + flexibility)
    house.leaks[0].c_m3_s_pan = capacity / tau_s;
    Plant plant(house);
    const double drawn_m3_s = 20 * capacity / tau_s;
    plant.set_event(Event::exhaust_fan, true, drawn_m3_s);
    for (int i = 1; i <= 50; ++i) {
      plant.step(0.1);
      const double expected = -20 * (1 - std::exp(-0.1 * i / tau_s));
      // Absolute. Where a step is long against the time constant, the search leaves up to 1e-4 of it.
      EXPECT_NEAR(plant.truth().zone_pressure_pa, expected, tau_s < 0.5 ? 5e-3 : 1e-6) << tau_s << " s";
    }
  }
}

TEST(Plant, LongAndShortStepsAgreeOnATransient) {
  for (const double leakage : {0.1, 1.0, 6.0}) {
    HouseSpec house = calm_house();
    for (LeakSpec& leak : house.leaks) leak.c_m3_s_pan *= leakage;
    Plant coarse(house);
    Plant fine(house);
    const int restriction = leakage < 0.5 ? 2 : (leakage < 2 ? 1 : 0);
    for (Plant* plant : {&coarse, &fine}) plant->set_fitted(restriction), plant->set_covered(false);
    for (Plant* plant : {&coarse, &fine}) plant->set_command(0.6, true), plant->step(0.1);
    double worst = 0;
    for (int i = 0; i < 200; ++i) {
      coarse.step(0.1);
      run(fine, 0.1, 0.005);
      worst = std::max(worst, std::abs(coarse.truth().zone_pressure_pa - fine.truth().zone_pressure_pa));
    }
    EXPECT_LT(worst, 0.25) << leakage;  // absolute, Pa, in a rise of 50 Pa
    EXPECT_NEAR(coarse.truth().zone_pressure_pa, fine.truth().zone_pressure_pa, 0.01);
  }
}

TEST(Plant, StaysCalmInTheTightestAndTheLeakiestHouse) {
  for (const double n : {0.5, 0.65, 1.0})
    for (const double c : {1e-7, 1e-4, 0.01, 1.0, 100.0}) {
      Plant plant(one_leak_house(c, n));
      drive(plant, 0.5, 120);
      const double before = plant.truth().zone_pressure_pa;
      plant.step(0.1);
      EXPECT_NEAR(plant.truth().zone_pressure_pa, before, 0.02) << c << " " << n;
      plant.set_command(0, false);
      run(plant, 120);
      EXPECT_NEAR(plant.truth().zone_pressure_pa, 0, 0.05) << c << " " << n;
    }
}

TEST(Plant, MassFromFanAndLeaksBalancesInColdWeather) {
  // closed forms of the density correction: depressurizing q_env = q_m rho_i / rho_e, C_0 = C_env *
  // (rho_e / rho_0)^(1 - n) (mu_e / mu_0)^(2n - 1); pressurizing with i and e exchanged
  HouseSpec house = one_leak_house(0.03, 0.65);
  house.indoor_c = 21;
  house.outdoor_c = -12;
  house.barometric_pa = 90000;
  house.tap_height_m = 0;
  house.fans[0].height_m = 0;
  const Air air = air_of(house);
  for (const Direction direction : {Direction::depressurize, Direction::pressurize}) {
    Plant plant(house);
    plant.set_direction(direction);
    plant.set_fitted(1);
    drive(plant, 0.6, 60);
    const bool out = direction == Direction::depressurize;
    const double fan = out ? air.indoor_kg_m3 : air.outdoor_kg_m3;
    const double leak = out ? air.outdoor_kg_m3 : air.indoor_kg_m3;
    const double leak_pa_s = out ? air.outdoor_pa_s : air.indoor_pa_s;
    const double read =
        control::flow_m3_s(house.fans[0].fan.restrictions[1], plant.truth().fans[0].signal_pa);
    const double envelope = read * std::sqrt(1.2041 / fan) * fan / leak;
    const double reference_pa_s = control::air_viscosity(control::celsius(20)).si();
    const double reference =
        envelope * std::pow(leak / 1.2041, 1 - 0.65) * std::pow(leak_pa_s / reference_pa_s, 0.3);
    EXPECT_NEAR(reference / true_flow_at(house, std::abs(plant.truth().induced_pa)), 1, 1e-5);
  }
}

TEST(Plant, ACommandActsOneSampleLater) {
  Plant plant(calm_house());
  plant.set_covered(false);
  plant.set_command(1, true);
  plant.step(0.1);
  EXPECT_EQ(plant.measure().fans[0].speed_frac, 0);
  plant.step(0.1);
  EXPECT_GT(plant.measure().fans[0].speed_frac, 0);
}

TEST(Plant, NotEnabledTheFanCoastsToAStand) {
  Plant plant(calm_house());
  drive(plant, 0.5, 20);
  ASSERT_GT(plant.measure().fans[0].speed_frac, 0.4);
  plant.set_command(0.5, false);
  run(plant, 0.5);
  EXPECT_GT(plant.measure().fans[0].speed_frac, 0.3);
  run(plant, 20);
  EXPECT_EQ(plant.measure().fans[0].speed_frac, 0);
}

TEST(Plant, CoveredTheFanMovesNothing) {
  Plant plant(calm_house());
  plant.set_command(1, true);
  run(plant, 20);
  EXPECT_EQ(plant.truth().flow_m3_s, 0);
  EXPECT_EQ(plant.truth().zone_pressure_pa, 0);
  EXPECT_EQ(plant.measure().fans[0].signal_pa, 0);
  EXPECT_TRUE(plant.covered());
}

TEST(Plant, TwoFansShareTheFlow) {
  HouseSpec house = calm_house();
  house.fans.push_back(house.fans[0]);
  for (LeakSpec& leak : house.leaks) leak.c_m3_s_pan *= 4;
  Plant plant(house);
  ASSERT_EQ(plant.fan_count(), 2);
  for (int fan = 0; fan < 2; ++fan) {
    plant.set_covered(false, fan);
    plant.set_command(0.6, true, fan);
  }
  run(plant, 60);
  const Truth truth = plant.truth();
  EXPECT_NEAR(truth.fans[0].flow_m3_s, truth.fans[1].flow_m3_s, 1e-9);
  EXPECT_NEAR(truth.flow_m3_s, -true_flow_at(house, truth.induced_pa), 1e-5);
  plant.set_command(0, false, 1);
  run(plant, 60);
  EXPECT_LT(plant.truth().fans[1].flow_m3_s, -0.05) << "an idle uncovered fan lets air in";
  EXPECT_NEAR(plant.measure().fans[1].signal_pa, 0, 1e-9);
}

}  // namespace
}  // namespace leeward::sim
