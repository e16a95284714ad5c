#include "sim/random_house.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "sim/house_range.hpp"
#include "sim/house_truth.hpp"

namespace leeward::sim {
namespace {

TEST(WallWindCp, HasTheValuesOfItsSourceForASquarePlan) {
  // Swami and Chandra 1987 at side ratio 1; computed here from the formula in its plain form
  EXPECT_NEAR(wall_wind_cp(0, 1), 0.6 * std::log(2.734), 1e-9);
  EXPECT_NEAR(wall_wind_cp(std::numbers::pi, 1), 0.6 * std::log(0.545), 1e-9);
  EXPECT_NEAR(wall_wind_cp(std::numbers::pi / 2, 1), -0.442, 1e-3);
  EXPECT_NEAR(wall_wind_cp(-1, 1.5), wall_wind_cp(1, 1.5), 1e-12);
}

TEST(RandomHouse, SameSeedSameHouse) {
  const PopulationSpec population;
  EXPECT_EQ(random_house(77, population), random_house(77, population));
  EXPECT_FALSE(random_house(77, population) == random_house(78, population));
  EXPECT_EQ(random_house(77, population).name, std::string_view("house-77"));
}

TEST(RandomHouse, IsWithinThePlantsRangeAndThePopulation) {
  PopulationSpec population;
  population.wind_m_s = {0, 9};
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    const HouseSpec house = random_house(seed, population);
    ASSERT_EQ(cut_to_range(house), house) << seed;
    ASSERT_EQ(house.leaks.size(), 10U);
    ASSERT_GE(house.volume_m3, 149.99);
    ASSERT_LE(house.volume_m3, 3000.01);
    ASSERT_TRUE(fan_reaches(house, 60, 0.95)) << seed;
    ASSERT_GE(true_n(house), 0.5 - 1e-9);
    ASSERT_LE(true_n(house), 0.75 + 1e-9);
    ASSERT_GT(house.tap_cp, -1);
    ASSERT_LT(house.tap_cp, 1);
  }
}

TEST(RandomHouse, PopulationHasTheStatedMiddles) {
  const PopulationSpec population;
  std::vector<double> ach50, n;
  double wall_share = 0;
  constexpr int count = 600;
  for (std::uint64_t seed = 1; seed <= count; ++seed) {
    const HouseSpec house = random_house(seed, population);
    ach50.push_back(true_q50_m3_s(house) * 3600 / house.volume_m3);
    n.push_back(true_n(house));
    double walls = 0;
    for (std::size_t i = 0; i < 8; ++i) walls += house.leaks[i].c_m3_s_pan * std::pow(50, house.leaks[i].n);
    wall_share += walls / true_q50_m3_s(house) / count;
  }
  std::sort(ach50.begin(), ach50.end());
  std::sort(n.begin(), n.end());
  EXPECT_NEAR(ach50[count / 2], 1.6, 0.35);  // median with the houses too leaky for the fan left out
  EXPECT_NEAR(n[count / 2], 0.65, 0.01);
  EXPECT_NEAR(wall_share, 0.55, 0.02);
}

TEST(FanReaches, TellsAHallFromAHouse) {
  HouseSpec house;
  EXPECT_TRUE(fan_reaches(house, 60, 0.95));
  for (LeakSpec& leak : house.leaks) leak.c_m3_s_pan *= 10;
  EXPECT_FALSE(fan_reaches(house, 60, 0.95));
  house.fans.clear();
  EXPECT_FALSE(fan_reaches(house, 60, 0.95));
}

}  // namespace
TEST(RandomHouse, FanStandsAtAWallWhereThePopulationAsksForIt) {
  PopulationSpec population;
  HouseSpec sheltered = random_house(11, population);
  population.fan_at_wall = 1;

  const HouseSpec house = random_house(11, population);

  const FanUnitSpec& unit = house.fans[0];
  const auto* wall =
      std::find_if(house.leaks.begin(), house.leaks.end(), [&](auto& l) { return l.facade == unit.facade; });
  ASSERT_NE(wall, house.leaks.end());
  EXPECT_EQ(unit.wind_cp, wall->wind_cp);
  sheltered.fans[0].wind_cp = unit.wind_cp;
  sheltered.fans[0].facade = unit.facade;
  EXPECT_EQ(house, sheltered) << "nothing else may change";
}

}  // namespace leeward::sim
