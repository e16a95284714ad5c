#include "sim/zone.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "control/physics/power_law_element.hpp"

namespace leeward::sim {
namespace {

HouseSpec zone_house(double indoor_c, double outdoor_c) {
  HouseSpec house;
  house.indoor_c = indoor_c;
  house.outdoor_c = outdoor_c;
  house.barometric_pa = 101325;
  return house;
}

TEST(Air, StackOfTenMetresIsThatOfTheDensities) {
  const Air air = air_of(zone_house(20, -5));
  EXPECT_NEAR(air.stack_pa(10), 11.009, 0.001);  // 20 / -5 degrees C, dry, 101325 Pa: computed, absolute
}

TEST(Zone, OutflowIsTheSumOfThePowerLawsAtReferenceAir) {
  HouseSpec house = zone_house(20, 20);
  house.leaks.pop_back();  // an odd number
  const Air air = air_of(house);
  const Zone zone(house, air);
  for (const double pa : {-55.0, -3.0, -0.02, 0.01, 0.7, 12.0, 60.0}) {
    double sum = 0;
    for (const LeakSpec& leak : house.leaks)
      sum += control::PowerLawElement::make(leak.c_m3_s_pan, leak.n, control::pascals(kStraightBelowPa))
                 ->flow(control::pascals(pa))
                 .si();
    EXPECT_NEAR(zone.outflow(pa).kg_s / air.indoor_kg_m3 / sum, 1, 1e-6) << pa;  // air 1.20410 +- 1e-5
  }
}

TEST(Zone, SlopeIsTheDerivativeOfTheOutflow) {
  const HouseSpec house = zone_house(21, 4);
  const Zone zone(house, air_of(house));
  for (const double pa : {-50.0, -5.0, 1.0, 30.0}) {
    const double h = 1e-4;
    const double slope = (zone.outflow(pa + h).kg_s - zone.outflow(pa - h).kg_s) / (2 * h);
    EXPECT_NEAR(zone.outflow(pa).kg_s_pa / slope, 1, 1e-5) << pa;
  }
}

TEST(Zone, AFlapLetsNoAirIn) {
  HouseSpec house = zone_house(20, 20);
  const Zone without(house, air_of(house));
  house.leaks.push_back({.name = "flap", .c_m3_s_pan = 0.001, .n = 1, .outward_only = true});
  const Zone with(house, air_of(house));

  EXPECT_DOUBLE_EQ(with.outflow(-40).kg_s, without.outflow(-40).kg_s);
  EXPECT_NEAR(with.outflow(40).kg_s - without.outflow(40).kg_s, 0.04 * air_of(house).indoor_kg_m3, 1e-9);
}

TEST(Zone, AirComesInAsOutdoorAirAndGoesOutAsIndoorAir) {
  HouseSpec house = zone_house(25, -10);
  house.leaks.clear();
  house.leaks.push_back({.name = "slit", .c_m3_s_pan = 0.01, .n = 0.5});
  const Air air = air_of(house);
  const Zone zone(house, air);
  // n = 1/2 is an orifice: mass flow goes with the root of the density of the air that passes
  const double ratio = std::sqrt(air.outdoor_kg_m3 / air.indoor_kg_m3);
  EXPECT_NEAR(-zone.outflow(-20).kg_s / zone.outflow(20).kg_s, ratio, 1e-9);
  EXPECT_NEAR(zone.outflow(20).kg_s, 0.01 * std::sqrt(20) * std::sqrt(1.2041 * air.indoor_kg_m3), 1e-9);
}

TEST(Zone, ALaminarCrackGoesWithTheViscosity) {
  HouseSpec house = zone_house(25, -10);
  house.leaks.clear();
  house.leaks.push_back({.name = "crack", .c_m3_s_pan = 0.001, .n = 1});
  const Air air = air_of(house);
  const Zone zone(house, air);
  // viscosity of the reference air, 1.81341e-5 at 20 degrees C: Sutherland
  EXPECT_NEAR(zone.outflow(20).kg_s / air.indoor_kg_m3, 0.02 * 1.81341e-5 / air.indoor_pa_s, 1e-7);
}

TEST(Zone, StackAndWindShiftThePressureAcrossALeak) {
  HouseSpec house = zone_house(20, -5);
  house.leaks.clear();
  house.leaks.push_back({.name = "high", .c_m3_s_pan = 0.01, .height_m = 10});
  Zone zone(house, air_of(house));
  EXPECT_NEAR(zone.across_pa(0, -2), 11.009 - 2, 0.001);
  zone.set_wind_pressure(0, 5);
  EXPECT_NEAR(zone.across_pa(0, -2), 11.009 - 7, 0.001);
}

TEST(Zone, ADoorAddsAnOrificeAndGoesAgain) {
  const HouseSpec house = zone_house(20, 20);
  const Air air = air_of(house);
  Zone zone(house, air);
  const double shut = zone.outflow(10).kg_s;
  zone.set_door(0.5, air);
  const double orifice = 0.6 * 0.5 * std::sqrt(2 * 10 * 1.2041);  // discharge coefficient 0.6
  EXPECT_NEAR(zone.outflow(10).kg_s - shut, orifice, 1e-4);
  zone.set_door(0, air);
  EXPECT_EQ(zone.outflow(10).kg_s, shut);
}

}  // namespace
}  // namespace leeward::sim
