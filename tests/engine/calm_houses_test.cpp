// Whole runs and steps on 20 calm houses, invented, from 0.6 to 15 air changes: through the engine at full
// speed.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "tests/engine/closed_loop.hpp"
#include "tests/engine/procedures.hpp"

namespace leeward::bench {
namespace {

constexpr int kHouses = 20;

sim::HouseSpec house_number(int i) {
  const double ach50 = 0.6 * std::pow(25.0, i / 19.0);
  const double volume = 250 + 25.0 * (i * 7 % kHouses);
  // The fan of the rig moves 1.7 m3/s at 60 Pa: the leakiest houses are small ones.
  return calm_house(ach50, std::min(volume, 5400 / ach50), 0.55 + 0.02 * (i * 3 % 10));
}

TEST(CalmHouses, FlowAndExponentOfAWholeRunAreTrue) {
  double worst_q50 = 0, worst_n = 0;
  for (int i = 0; i < kHouses; ++i) {
    const sim::HouseSpec house = house_number(i);
    ClosedLoop loop(house, 100 + static_cast<std::uint64_t>(i));
    loop.request(start(ten_stations(), house.volume_m3));

    ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 2000))
        << "house " << i;

    const control::RunResult& result = loop.state().result;
    ASSERT_TRUE(result.computed) << "house " << i;
    const double q50 = sim::true_q50_m3_s(house);
    worst_q50 = std::max(worst_q50, std::abs(result.q_ref_m3_s.value / q50 - 1));
    worst_n = std::max(worst_n, std::abs(result.n.value - sim::true_n(house)));
    EXPECT_NEAR(result.q_ref_m3_s.value / q50, 1, 0.01) << "house " << i;
    EXPECT_NEAR(result.n.value, sim::true_n(house), 0.01) << "house " << i;
    EXPECT_NEAR(result.directions[0].standard.q_ref_m3_s.value / q50, 1, 0.01) << "house " << i;
    EXPECT_NEAR(result.directions[0].standard.n.value, sim::true_n(house), 0.01) << "house " << i;
    EXPECT_EQ(result.directions[0].stations.size(), ten_stations().stations_pa.size()) << "house " << i;
    for (const control::StationResult& s : result.directions[0].stations)
      EXPECT_TRUE(s.signal_in_range) << "house " << i << " at " << s.target_pa << " Pa";
  }
  std::printf("worst of %d houses: q50 %.2f %%, n %.4f\n", kHouses, 100 * worst_q50, worst_n);
}

TEST(CalmHouses, AStepFromTenToFiftySettlesWithoutPassingFiftyTwo) {
  double worst_peak = 0, slowest = 0;
  for (int i = 0; i < kHouses; ++i) {
    const sim::HouseSpec house = house_number(i);
    ClosedLoop loop(house, 200 + static_cast<std::uint64_t>(i));
    loop.baseline(15);
    loop.hold(10, house.volume_m3);
    loop.run_for(40);
    EXPECT_NEAR(loop.true_induced_pa(), 10, 1) << "house " << i;

    loop.hold(50);
    double peak = 0, last_off = 0;
    for (int k = 1; k <= 400; ++k) {
      (void)loop.tick();
      peak = std::max(peak, loop.true_induced_pa());
      if (std::abs(loop.true_induced_pa() - 50) > 1) last_off = 0.1 * k;
    }

    worst_peak = std::max(worst_peak, peak);
    slowest = std::max(slowest, last_off);
    EXPECT_LT(peak, 52) << "house " << i;
    EXPECT_LT(last_off, 20) << "house " << i;
  }
  std::printf("worst of %d houses: peak %.2f Pa, settled in %.1f s\n", kHouses, worst_peak, slowest);
}

TEST(CalmHouses, BothDirectionsAgreeAndAreAveraged) {
  const sim::HouseSpec house = house_number(9);
  ClosedLoop loop(house, 5);
  loop.request(start(ten_stations(), house.volume_m3, 20, 20, control::DirectionChoice::both));

  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 3000));

  const control::RunResult& result = loop.state().result;
  ASSERT_EQ(result.directions.size(), 2u);
  EXPECT_EQ(result.directions[1].direction, control::Direction::pressurize);
  const double mean =
      0.5 * (result.directions[0].own.q_ref_m3_s.value + result.directions[1].own.q_ref_m3_s.value);
  EXPECT_NEAR(result.q_ref_m3_s.value, mean, 1e-12);
  EXPECT_NEAR(mean / sim::true_q50_m3_s(house), 1, 0.01);
}

TEST(CalmHouses, ChangesTheRestrictionWhereTheSignalAsksForIt) {
  const sim::HouseSpec house = calm_house(2, 400, 0.65);
  ClosedLoop loop(house, 5);
  loop.request(start(ten_stations(), 400));

  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 2000));

  const auto& events = loop.events();
  EXPECT_TRUE(std::any_of(events.begin(), events.end(), [](const control::Event& e) {
    return e.kind == control::EventKind::restriction_fitted;
  }));
  EXPECT_FALSE(std::any_of(events.begin(), events.end(), [](const control::Event& e) {
    return e.kind == control::EventKind::restriction_mismatch;
  }));
}

TEST(CalmHouses, SaysHowFarItCameWhereTheFanIsTooSmall) {
  const sim::HouseSpec house = calm_house(30, 400, 0.65);
  ClosedLoop loop(house, 5);
  loop.request(start(ten_stations(), 400));

  ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 2000));

  const control::RunResult& result = loop.state().result;
  EXPECT_TRUE(result.directions[0].extrapolated);
  EXPECT_LT(result.directions[0].highest_pa, 50);
  EXPECT_GT(result.directions[0].stations.size(), 3u);
  EXPECT_NEAR(result.q_ref_m3_s.value / sim::true_q50_m3_s(house), 1, 0.05);
  EXPECT_GT(result.q_ref_m3_s.high / result.q_ref_m3_s.low, 1.005);
}

TEST(CalmHouses, LearnsAFanWithoutACurve) {
  for (const double ach50 : {1.0, 4.0, 9.0}) {
    const sim::HouseSpec house = calm_house(ach50, 400, 0.65);
    control::EngineConfig rig = rig_for(house);
    rig.fans[0].curve.clear();
    ClosedLoop loop(house, 9, rig);
    loop.request(start(ten_stations(), 400));

    ASSERT_TRUE(loop.run_until([&] { return loop.state().phase == control::Phase::result; }, 2000)) << ach50;
    EXPECT_NEAR(loop.state().result.q_ref_m3_s.value / sim::true_q50_m3_s(house), 1, 0.01) << ach50;
  }
}

}  // namespace
}  // namespace leeward::bench
