#include "sim/plant.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "sim/house_truth.hpp"
#include "tests/sim/plant_houses.hpp"

namespace leeward::sim {
namespace {

using plant_houses::calm_house;
using plant_houses::drive;
using plant_houses::run;

TEST(Plant, EventsOfTheHouseDoWhatTheirNamesSay) {
  Plant plant(calm_house());
  plant.set_fitted(1);
  drive(plant, 0.6, 40);
  const Truth before = plant.truth();

  plant.set_event(Event::door_open, true, 0.2);
  run(plant, 20);
  EXPECT_LT(std::abs(plant.truth().induced_pa), 0.5 * std::abs(before.induced_pa));
  plant.set_event(Event::door_open, false);
  run(plant, 40);
  EXPECT_NEAR(plant.truth().induced_pa, before.induced_pa, 0.01);

  plant.set_event(Event::exhaust_fan, true, 0.05);
  run(plant, 40);
  const Truth drawn = plant.truth();
  EXPECT_LT(drawn.zone_pressure_pa, before.zone_pressure_pa);
  EXPECT_NEAR((drawn.flow_m3_s + 0.05) / -true_flow_at(plant.house(), drawn.zone_pressure_pa), 1, 1e-5);
  plant.set_event(Event::exhaust_fan, false);
  run(plant, 40);

  plant.set_event(Event::fan_blocked, true);
  run(plant, 40);
  EXPECT_LT(plant.truth().flow_m3_s, 0.5 * before.flow_m3_s);
  plant.set_event(Event::fan_blocked, false);
  plant.set_event(Event::fan_stalled, true);
  run(plant, 40);
  EXPECT_EQ(plant.truth().fans[0].speed_frac, 0);
  EXPECT_NEAR(plant.truth().flow_m3_s, 0, 1e-3);
}

TEST(Plant, RestPressureFollowsADoorAndAnExhaustFan) {
  Plant plant(calm_house());
  EXPECT_EQ(plant.truth().rest_pressure_pa, 0);
  plant.set_event(Event::exhaust_fan, true, 0.05);
  run(plant, 60);
  EXPECT_NEAR(plant.truth().building_pressure_pa, plant.truth().rest_pressure_pa, 1e-3);
  EXPECT_LT(plant.truth().rest_pressure_pa, -1);
}

}  // namespace
}  // namespace leeward::sim
