#include "sim/plant.hpp"

#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "sim/rng.hpp"
#include "tests/sim/plant_houses.hpp"

namespace leeward::sim {
namespace {

using control::Direction;
using plant_houses::calm_house;
using plant_houses::drive;
using plant_houses::run;

TEST(Plant, SameSeedGivesTheSameBitsAndACopyGoesOnAlike) {
  HouseSpec house;
  house.wind.mean_m_s = 6;
  Plant a(house, 5), b(house, 5), other(house, 6);
  for (Plant* plant : {&a, &b, &other}) drive(*plant, 0.4, 30);
  EXPECT_EQ(a.measure(), b.measure());
  EXPECT_EQ(a.truth(), b.truth());
  EXPECT_FALSE(a.measure() == other.measure());
  Plant copy = a;
  for (int i = 0; i < 300; ++i) {
    a.step(0.1);
    copy.step(0.1);
    ASSERT_EQ(a.measure(), copy.measure());
    ASSERT_EQ(a.truth(), copy.truth());
  }
}

TEST(Plant, ReadingChangesNothing) {
  HouseSpec house;
  house.wind.mean_m_s = 6;
  Plant read_often(house, 5), read_once(house, 5);
  for (int i = 0; i < 100; ++i) {
    read_often.step(0.1);
    read_once.step(0.1);
    EXPECT_EQ(read_often.measure(), read_often.measure());
    EXPECT_EQ(read_often.truth(), read_often.truth());
  }
  EXPECT_EQ(read_often.measure(), read_once.measure());
}

TEST(Plant, NoFaultOfAGaugeChangesTheTruth) {
  HouseSpec house;
  house.wind.mean_m_s = 6;
  for (const Event event :
       {Event::building_tube_off, Event::building_tube_kinked, Event::building_tubes_swapped,
        Event::building_gauge_stuck, Event::building_gauge_drift, Event::building_water_in_tube,
        Event::signal_tube_off, Event::signal_gauge_stuck}) {
    Plant sound(house, 5), faulty(house, 5);
    drive(sound, 0.5, 20);
    drive(faulty, 0.5, 20);
    faulty.set_event(event, true);
    bool seen = false;
    for (int i = 0; i < 200; ++i) {
      sound.step(0.1);
      faulty.step(0.1);
      seen = seen || !(sound.measure() == faulty.measure());
      ASSERT_EQ(sound.truth(), faulty.truth()) << static_cast<int>(event);
    }
    EXPECT_TRUE(seen) << static_cast<int>(event);
    faulty.set_event(event, false);
    run(sound, 100);
    run(faulty, 100);
    if (event == Event::building_gauge_drift) continue;  // the zero stays where the drift has left it
    EXPECT_NEAR(sound.measure().building_pressure_pa, faulty.measure().building_pressure_pa, 0.2);
  }
}

TEST(Plant, AnotherGaugeChangesTheReadingsAndNotTheTruth) {
  HouseSpec house;
  house.wind.mean_m_s = 6;
  HouseSpec noisy = house;
  noisy.sensors.building = {
      .lag_s = 2, .noise_pa = 1, .resolution_pa = 1, .drift_pa_per_10min = 5, .zero_pa = 3};
  Plant a(house, 5), b(noisy, 5);
  drive(a, 0.5, 20);
  drive(b, 0.5, 20);
  EXPECT_EQ(a.truth(), b.truth());
}

TEST(Plant, ForgivesActsOnFansAndRestrictionsThatAreNotThere) {
  Plant plant(calm_house());
  plant.set_fitted(2);
  plant.set_fitted(9);
  plant.set_fitted(-1);
  EXPECT_EQ(plant.fitted(), 2);
  for (const int fan : {-1, 1, 99}) {
    plant.set_command(1, true, fan);
    plant.set_covered(false, fan);
    plant.set_fitted(0, fan);
    plant.set_event(Event::fan_stalled, true, 0, fan);
    plant.set_event(Event::signal_tube_off, true, 0, fan);
    EXPECT_TRUE(plant.covered(fan));
    EXPECT_EQ(plant.fitted(fan), -1);
  }
  plant.step(0.1);
  EXPECT_EQ(plant.truth().flow_m3_s, 0);
}

TEST(Plant, NeverGivesAnythingButNumbers) {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  constexpr double inf = std::numeric_limits<double>::infinity();
  const std::array<double, 9> odd{nan, inf, -inf, -1e300, 1e300, -1, 0, 0.5, 7};
  Rng rng(3);
  const auto any = [&] { return odd[static_cast<std::size_t>(rng.uniform() * 9)]; };
  for (int house_index = 0; house_index < 300; ++house_index) {
    HouseSpec house;
    HouseSpec::describe([&](const char*, auto member) {
      if constexpr (std::is_same_v<decltype(member), double HouseSpec::*>)
        if (rng.uniform() < 0.3) house.*member = any();
    });
    WindSpec::describe([&](const char*, auto member) {
      if constexpr (std::is_same_v<decltype(member), double WindSpec::*>)
        if (rng.uniform() < 0.3) house.wind.*member = any();
    });
    for (LeakSpec& leak : house.leaks) leak.c_m3_s_pan = rng.uniform() < 0.2 ? any() : leak.c_m3_s_pan;
    house.fans[0].fan.restrictions[0].k_m3_s_pam = any();
    house.fans[0].head_factor = any();
    house.fans[0].drive.lag_s = any();
    house.sensors.signal.lag_s = any();
    Plant plant(house, rng.next());
    for (int i = 0; i < 200; ++i) {
      plant.set_command(any(), rng.uniform() < 0.8);
      plant.set_covered(rng.uniform() < 0.2);
      plant.set_fitted(static_cast<int>(rng.uniform() * 6) - 1);
      plant.set_direction(rng.uniform() < 0.5 ? Direction::depressurize : Direction::pressurize);
      if (rng.uniform() < 0.1)
        plant.set_event(static_cast<Event>(rng.uniform() * kEvents), rng.uniform() < 0.5, any());
      plant.step(rng.uniform() < 0.1 ? any() : 0.1);
      const Measurement read = plant.measure();
      const Truth truth = plant.truth();
      ASSERT_TRUE(std::isfinite(read.building_pressure_pa));
      ASSERT_TRUE(std::isfinite(read.fans[0].signal_pa));
      ASSERT_TRUE(std::isfinite(read.fans[0].speed_frac));
      ASSERT_TRUE(std::isfinite(truth.zone_pressure_pa));
      ASSERT_TRUE(std::isfinite(truth.flow_m3_s));
      ASSERT_TRUE(std::isfinite(truth.induced_pa));
    }
  }
}

TEST(Plant, AHouseWithoutLeaksOrFansStandsStill) {
  HouseSpec house = calm_house();
  house.leaks.clear();
  house.fans.clear();
  Plant plant(house);
  plant.set_command(1, true);
  run(plant, 5);
  EXPECT_EQ(plant.truth().zone_pressure_pa, 0);
}

}  // namespace
}  // namespace leeward::sim
