#include "sim/plant.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/physics/moist_air.hpp"
#include "tests/sim/plant_houses.hpp"

namespace leeward::sim {
namespace {

using control::Direction;
using plant_houses::calm_house;
using plant_houses::drive;
using plant_houses::one_leak_house;
using plant_houses::run;

struct TwoLeaks {
  double windward_share, wind_m_s, rest_pa;
};

HouseSpec two_leak_house(const TwoLeaks& row) {
  HouseSpec house = calm_house();
  house.barometric_pa =
      101325 * 1.2 /
      control::moist_air_density(control::celsius(20), control::pascals_absolute(101325), 0).si();
  house.leaks.clear();
  house.leaks.push_back({.name = "windward",
                         .c_m3_s_pan = 0.05 * row.windward_share,
                         .n = 0.65,
                         .wind_cp = 0.6,
                         .facade = Facade::wall_1});
  house.leaks.push_back({.name = "leeward",
                         .c_m3_s_pan = 0.05 * (1 - row.windward_share),
                         .n = 0.65,
                         .wind_cp = -0.3,
                         .facade = Facade::wall_3});
  house.wind.mean_m_s = row.wind_m_s;
  house.wind.shelter_factor = 1;
  house.wind.turbulence_intensity = 0;
  house.wind.slow_change_frac = 0;
  return house;
}

TEST(Plant, StackPressureShowsAtTheLeakTenMetresUp) {
  HouseSpec house = one_leak_house(0.01, 0.65, 10);
  house.indoor_c = 20;
  house.outdoor_c = -5;
  house.tap_height_m = 0;
  const Plant plant(house);
  // at rest nothing flows: the pressure at the leak is 0, at the floor minus the stack
  EXPECT_NEAR(plant.truth().zone_pressure_pa, -11.009, 0.001);  // computed: 20 / -5 degrees C, 10 m, dry
  EXPECT_NEAR(plant.truth().leak_pressure_pa[0], 0, 1e-9);
}

TEST(Plant, RestsInSteadyWindWhereTwoLeaksBalance) {
  // two-leak model in steady wind, density 1.2, n 0.65, coefficients +0.6 and -0.3: computed
  for (const TwoLeaks& row : {TwoLeaks{0.5, 3, 0.81},
                              {0.5, 6, 3.24},
                              {0.5, 10, 9.0},
                              {0.3, 3, -0.582047},
                              {0.3, 6, -2.328186},
                              {0.3, 10, -6.467185}}) {
    HouseSpec house = two_leak_house(row);
    Plant plant(house);
    EXPECT_NEAR(plant.truth().zone_pressure_pa, row.rest_pa, 1e-6);
    run(plant, 5);
    EXPECT_NEAR(plant.truth().zone_pressure_pa, row.rest_pa, 1e-6);
  }
}

TEST(Plant, SteadyWindMakesTheModelErrorOfTheTwoLeaks) {
  // same model, share 0.3, 6 m/s: +0.018455 at -50 Pa, -0.026101 at +50 Pa: computed
  const HouseSpec house = two_leak_house({0.3, 6, 0});
  for (const Direction direction : {Direction::depressurize, Direction::pressurize}) {
    Plant plant(house);
    plant.set_fitted(1);
    plant.set_direction(direction);
    plant.set_covered(false);
    double demand = 0.6;
    for (int i = 0; i < 4000; ++i) {
      plant.set_command(demand, true);
      plant.step(0.1);
      demand += 1e-4 * (50 - std::abs(plant.truth().induced_pa));
    }
    ASSERT_NEAR(std::abs(plant.truth().induced_pa), 50, 1e-3);
    const double error = plant.truth().flow_m3_s / (0.05 * std::pow(50, 0.65)) - 1;
    // leaks measured at 1.2041 pass a little more of thinner air: (1.2 / 1.2041)^(n - 1)
    const double thinner = std::pow(1.2 / 1.2041, 0.65 - 1);
    EXPECT_NEAR((error + 1) / thinner - 1, direction == Direction::depressurize ? 0.018455 : -0.026101, 5e-5);
  }
}

TEST(Plant, InSteadyWindTheInducedPressureDoesNotDependOnTheTap) {
  // Algebra: the wind at the tap stands in the zero-flow reading and in the station's, and cancels. What is
  // left is the rounding of the readings.
  HouseSpec house = two_leak_house({0.3, 6, 0});
  double first = 0;
  for (const double tap_cp : {0.0, -0.5, 0.7}) {
    house.tap_cp = tap_cp;
    Plant plant(house);
    run(plant, 10);
    const double zero = plant.measure().building_pressure_pa;
    plant.set_fitted(1);
    drive(plant, 0.5, 120);
    const double induced = plant.measure().building_pressure_pa - zero;
    if (tap_cp == 0) first = induced;
    EXPECT_NEAR(induced, first, 1e-12) << tap_cp;
    EXPECT_NEAR(plant.truth().induced_pa, first, 1e-6) << tap_cp;
  }
}

TEST(Plant, UncoveringAHeatedHouseMovesThePressureBeforeTheFanTurns) {
  HouseSpec house = calm_house();
  house.outdoor_c = -5;
  Plant plant(house);
  const double covered = plant.truth().building_pressure_pa;
  plant.set_covered(false);
  run(plant, 10);
  EXPECT_GT(std::abs(plant.truth().building_pressure_pa - covered), 0.3);
  EXPECT_LT(plant.truth().flow_m3_s, 0) << "cold air comes in through the opening below";
}

}  // namespace
}  // namespace leeward::sim
