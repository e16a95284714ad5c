#include "control/restriction/plan.hpp"

#include <algorithm>
#include <array>
#include <limits>

namespace leeward::control {
namespace {

constexpr double kChangeCost = 1.0;
constexpr double kUnservedCost = 100.0;
constexpr double kThinMarginCost = 0.9;  // of all stations together less than one change

using Costs = std::array<double, kMaxRestrictions>;

double station_cost(const Outlook& o, std::size_t stations) {
  const double share = std::min(1.0, o.shortfall) * kThinMarginCost / static_cast<double>(stations);
  if (o.readable && o.reachable) return share;
  return kUnservedCost * (1.0 + o.shortfall);
}

}  // namespace

RestrictionPlan plan_restrictions(const HouseCurve& house, const FanMap& map, const FanCurve& curve,
                                  const FanSpec& fan, std::span<const double> stations_pa, int fitted,
                                  int fans) noexcept {
  RestrictionPlan plan;
  const std::size_t count = std::min(stations_pa.size(), kMaxStations);
  const std::size_t kinds = fan.restrictions.size();
  if (count == 0 || kinds == 0) return plan;
  std::array<std::array<int, kMaxRestrictions>, kMaxStations> came_from{};
  Costs best{};
  for (std::size_t k = 0; k < kinds; ++k) best[k] = static_cast<int>(k) == fitted ? 0.0 : kChangeCost;
  for (std::size_t s = 0; s < count; ++s) {
    Costs next{};
    for (std::size_t k = 0; k < kinds; ++k) {
      std::size_t from = k;
      // The crew changes before the first station at best[k] already; later a change costs one more.
      for (std::size_t j = 0; s > 0 && j < kinds; ++j)
        if (best[j] + (j == k ? 0.0 : kChangeCost) < best[from] + (from == k ? 0.0 : kChangeCost)) from = j;
      came_from[s][k] = static_cast<int>(from);
      const Outlook o = outlook(house, map, curve, fan.restrictions[k], stations_pa[s], fans);
      next[k] = best[from] + (from == k ? 0.0 : kChangeCost) + station_cost(o, count);
    }
    best = next;
  }
  std::array<int, kMaxStations> path{};
  path[count - 1] = static_cast<int>(
      std::min_element(best.begin(), best.begin() + static_cast<std::ptrdiff_t>(kinds)) - best.begin());
  for (std::size_t s = count - 1; s > 0; --s) path[s - 1] = came_from[s][static_cast<std::size_t>(path[s])];
  int before = fitted;
  for (std::size_t s = 0; s < count; ++s) {
    plan.fitted.push_back(path[s]);
    if (path[s] != before) ++plan.changes;
    before = path[s];
    const Outlook o =
        outlook(house, map, curve, fan.restrictions[static_cast<std::size_t>(path[s])], stations_pa[s], fans);
    if (!o.readable || !o.reachable) ++plan.unserved;
  }
  return plan;
}

}  // namespace leeward::control
