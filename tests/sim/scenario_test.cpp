#include "sim/scenario.hpp"

#include <gtest/gtest.h>

namespace leeward::sim {
namespace {

TEST(Scenario, SwitchesEventsWhenTheyAreDue) {
  HouseSpec house;
  house.outdoor_c = house.indoor_c;
  Plant plant(house);
  Scenario scenario;
  scenario.push_back({.at_s = 0, .event = Event::exhaust_fan, .on = true, .size = 0.05});
  scenario.push_back({.at_s = 30, .event = Event::exhaust_fan, .on = false});
  double before = -1;
  for (int i = 0; i < 600; ++i) {
    const double now = plant.truth().time_s;
    play(scenario, before, now, plant);
    before = now;
    plant.step(0.1);
    if (i == 290) {
      EXPECT_LT(plant.truth().zone_pressure_pa, -1);
    }
  }
  EXPECT_NEAR(plant.truth().zone_pressure_pa, 0, 0.01);
}

}  // namespace
}  // namespace leeward::sim
