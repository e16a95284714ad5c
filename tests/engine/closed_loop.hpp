#pragma once
/// What the engine's tests share: the closed loop, and a calm house for it.

#include "sim/campaign/closed_loop.hpp"
#include "sim/house_truth.hpp"

namespace leeward::bench {

using sim::ClosedLoop;
using sim::rig_for;

/// A calm, still house of a given leakage: invented, its leaks scaled from the demo house's.
inline sim::HouseSpec calm_house(double ach50, double volume_m3, double exponent) {
  sim::HouseSpec house;
  house.volume_m3 = volume_m3;
  house.indoor_c = 20;
  house.outdoor_c = 20;
  house.wind.mean_m_s = 0;
  for (sim::LeakSpec& leak : house.leaks) leak.n = exponent;
  const double factor = ach50 * volume_m3 / 3600.0 / sim::true_flow_at(house, 50.0);
  for (sim::LeakSpec& leak : house.leaks) leak.c_m3_s_pan *= factor;
  return house;
}

}  // namespace leeward::bench
