// Steps of houses and drives that the engine has never seen; the drive's lag and slew and the gauges' lags
// are told about as well as an identification finds them.

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <vector>

#include "control/physics/flow_element.hpp"
#include "sim/random_house.hpp"
#include "sim/rng.hpp"
#include "tests/engine/closed_loop.hpp"

namespace leeward::bench {
namespace {

constexpr int kRandomHouses = 40;
constexpr std::uint64_t kFirstSeed = 61000;

/// The restriction with the largest signal whose fan still reaches 60 Pa.
int fitting(const sim::HouseSpec& house) {
  const control::FanSpec& fan = house.fans[0].fan;
  const auto curve = control::FanCurve::make(fan.curve);
  const double flow = sim::true_flow_at(house, 60);
  int best = 0;
  for (std::size_t i = 0; i < fan.restrictions.size(); ++i) {
    const double rise = 60 + control::lost_pressure_pa(fan.restrictions[i], flow);
    if (control::demand_for(*curve, flow, rise, 0.92)) best = static_cast<int>(i);
  }
  return best;
}

control::EngineConfig told(const sim::HouseSpec& house, std::uint64_t seed) {
  control::EngineConfig config = rig_for(house);
  sim::Rng rng(seed, 4321);
  config.fans[0].fitted = fitting(house);
  config.regulator.drive_lag_s = house.fans[0].drive.lag_s * (1 + 0.1 * rng.normal());
  config.regulator.drive_slew_s = house.fans[0].drive.slew_s_full * (1 + 0.03 * rng.normal());
  config.regulator.sensor_lag_s = house.sensors.building.lag_s * (1 + 0.2 * rng.normal());
  config.regulator.signal_lag_s = house.sensors.signal.lag_s * (1 + 0.2 * rng.normal());
  return config;
}

struct StepStory {
  std::vector<double> settled_s, beyond_pa;
  void print(const char* name) {
    std::sort(settled_s.begin(), settled_s.end());
    std::sort(beyond_pa.begin(), beyond_pa.end());
    std::printf("%s: settled in %.1f s at the median, %.1f s at most; beyond the target by at most %.1f Pa\n",
                name, settled_s[settled_s.size() / 2], settled_s.back(), beyond_pa.back());
  }
};

TEST(RandomHouses, StepsSettleQuicklyAndHardlyPassTheirTargets) {
  constexpr std::array kTargets{10.0, 50.0, 40.0};
  std::array<StepStory, 3> stories;
  for (int i = 0; i < kRandomHouses; ++i) {
    const std::uint64_t seed = kFirstSeed + static_cast<std::uint64_t>(i);
    const sim::HouseSpec house = sim::random_house(seed, {});
    ClosedLoop loop(house, seed, told(house, seed));
    loop.plant().set_covered(true);
    loop.baseline(15);
    loop.plant().set_covered(false);
    double from = 0;
    for (std::size_t k = 0; k < kTargets.size(); ++k) {
      loop.hold(kTargets[k], house.volume_m3);
      double settled = 0, beyond = 0;
      for (int tick = 1; tick <= 400; ++tick) {
        (void)loop.tick();
        const double off = loop.true_induced_pa() - kTargets[k];
        if (std::abs(off) > 1) settled = 0.1 * tick;
        beyond = std::max(beyond, kTargets[k] > from ? off : -off);
      }
      EXPECT_LT(settled, 39) << "house " << seed << " to " << kTargets[k] << " Pa";
      stories[k].settled_s.push_back(settled);
      stories[k].beyond_pa.push_back(beyond);
      from = kTargets[k];
    }
    EXPECT_FALSE(loop.state().guard.trip.active()) << "house " << seed;
  }
  stories[0].print("0 to 10 Pa");
  stories[1].print("10 to 50 Pa");
  stories[2].print("50 to 40 Pa");
  // The plain law takes 7, 14 and 6 s at the median here.
  EXPECT_LT(stories[0].settled_s[kRandomHouses / 2], 5.5);
  EXPECT_LT(stories[1].settled_s[kRandomHouses / 2], 8);
  EXPECT_LT(stories[2].settled_s[kRandomHouses / 2], 4);
  EXPECT_LT(stories[0].beyond_pa.back(), 6);
  EXPECT_LT(stories[1].beyond_pa.back(), 4);
  EXPECT_LT(stories[2].beyond_pa.back(), 2);
}

}  // namespace
}  // namespace leeward::bench
