#include "sim/house_truth.hpp"

#include <gtest/gtest.h>

#include <cmath>

namespace leeward::sim {
namespace {

TEST(HouseTruth, OfOneLeakIsItsPowerLaw) {
  HouseSpec house;
  house.leaks.clear();
  house.leaks.push_back({.name = "only", .c_m3_s_pan = 0.02, .n = 0.7});
  EXPECT_NEAR(true_q50_m3_s(house), 0.02 * std::pow(50, 0.7), 1e-15);
  EXPECT_NEAR(true_n(house), 0.7, 1e-12);
  EXPECT_NEAR(true_flow_at(house, -10), -0.02 * std::pow(10, 0.7), 1e-15);
}

TEST(HouseTruth, OfLeaksWithDifferentExponentsLiesBetweenThem) {
  HouseSpec house;
  EXPECT_NEAR(true_q50_m3_s(house), 0.33, 1e-12);  // as the demo house is made
  EXPECT_GT(true_n(house), 0.63);
  EXPECT_LT(true_n(house), 0.67);
}

TEST(HouseTruth, OfATightHouseIsNothing) {
  HouseSpec house;
  house.leaks.clear();
  EXPECT_EQ(true_q50_m3_s(house), 0);
  EXPECT_EQ(true_n(house), 0);
}

}  // namespace
}  // namespace leeward::sim
