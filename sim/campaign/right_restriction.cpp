#include "sim/campaign/right_restriction.hpp"

#include <algorithm>
#include <cmath>

#include "sim/house_truth.hpp"
#include "sim/unit_curve.hpp"

namespace leeward::sim {

namespace {

constexpr double kMostSpeed = 2;  // of the search: beyond what any drive does

/// Speed at which a fan makes a rise at a flow.
double speed_for(const UnitCurve& curve, double flow_m3_s, double rise_pa) {
  double low = 1e-3;
  double high = kMostSpeed;
  for (int i = 0; i < 50; ++i) {
    const double speed = 0.5 * (low + high);
    (speed * speed * curve.at(flow_m3_s / speed).pa < rise_pa ? low : high) = speed;
  }
  return high;
}

bool serves(const HouseSpec& house, int restriction, double pa, const RestrictionRule& rule) {
  const StationDuty duty = duty_at(house, restriction, pa);
  const auto& spec = house.fans[0].fan.restrictions[static_cast<std::size_t>(restriction)];
  return duty.demand_frac <= rule.most_demand_frac && duty.signal_pa >= rule.least_signal_pa &&
         duty.signal_pa <= spec.signal_max_pa;
}

/// How far the lowest signal and the highest demand keep from their limits, as a ratio; below 1: they don't.
double margin_of(const HouseSpec& house, int restriction, double low_pa, double high_pa,
                 const RestrictionRule& rule) {
  const double signal = duty_at(house, restriction, low_pa).signal_pa / rule.least_signal_pa;
  const double demand = rule.most_demand_frac / duty_at(house, restriction, high_pa).demand_frac;
  return std::min(signal, demand);
}

}  // namespace

StationDuty duty_at(const HouseSpec& house, int restriction, double pa) {
  const FanUnitSpec& unit = house.fans[0];
  const auto& spec = unit.fan.restrictions[static_cast<std::size_t>(restriction)];
  const double flow = true_flow_at(house, pa);
  const double signal = std::pow(flow / spec.k_m3_s_pam, 1 / spec.m);
  const double speed = speed_for(UnitCurve(unit), flow, pa + spec.loss_frac * signal);
  const double dead = unit.drive.dead_band_frac;
  return {dead + (1 - dead) * speed, signal};
}

int right_restriction(const HouseSpec& house, double low_pa, double high_pa, const RestrictionRule& rule) {
  const int count = static_cast<int>(house.fans[0].fan.restrictions.size());
  int widest = -1;
  int smallest_that_reaches = 0;
  double most = 0;
  for (int i = 0; i < count; ++i) {
    if (duty_at(house, i, high_pa).demand_frac <= rule.most_demand_frac) smallest_that_reaches = i;
    if (!serves(house, i, low_pa, rule) || !serves(house, i, high_pa, rule)) continue;
    const double margin = margin_of(house, i, low_pa, high_pa, rule);
    if (margin > most) widest = i;
    most = std::max(most, margin);
  }
  return widest >= 0 ? widest : smallest_that_reaches;
}

std::optional<int> fewest_changes(const HouseSpec& house, std::span<const double> stations_pa,
                                  const RestrictionRule& rule, int first) {
  const int count = static_cast<int>(house.fans[0].fan.restrictions.size());
  // The longest stretch from where one stands on is always among the best.
  int changes = -1;
  for (std::size_t from = 0; from < stations_pa.size(); ++changes) {
    std::size_t furthest = from;
    for (int i = 0; i < count; ++i) {
      if (from == 0 && first >= 0 && i != first) continue;
      std::size_t to = from;
      while (to < stations_pa.size() && serves(house, i, stations_pa[to], rule)) ++to;
      furthest = std::max(furthest, to);
    }
    if (furthest == from) return std::nullopt;
    from = furthest;
  }
  return std::max(changes, 0);
}

}  // namespace leeward::sim
