#pragma once
/// Which restriction a crew that knew the house would fit, in calm air.

#include <optional>
#include <span>

#include "sim/house_spec.hpp"

namespace leeward::sim {

/// Where the first fan of a house works at an induced pressure.
struct StationDuty {
  double demand_frac = 0;  ///< above 1: out of reach
  double signal_pa = 0;
};

[[nodiscard]] StationDuty duty_at(const HouseSpec& house, int restriction, double pa);

struct RestrictionRule {
  double most_demand_frac = 0.98;
  double least_signal_pa = 5;
};

/// Of the restrictions that serve every pressure from low_pa to high_pa the one with the widest margin; where
/// none does, the smallest that reaches high_pa; where none reaches, the largest.
[[nodiscard]] int right_restriction(const HouseSpec& house, double low_pa, double high_pa,
                                    const RestrictionRule& rule = {});

/// The fewest changes of restriction in a walk through stations.
/// @param first  fitted at its start; below 0: whatever is best
/// @returns nullopt where a station is out of reach of all of them, or the first one of the given restriction
[[nodiscard]] std::optional<int> fewest_changes(const HouseSpec& house, std::span<const double> stations_pa,
                                                const RestrictionRule& rule = {}, int first = -1);

}  // namespace leeward::sim
