#pragma once
/// Which restriction each station to come should be measured with: the fewest changes that keep every
/// station inside the valid range, with margin.

#include <span>

#include "control/procedure/procedure_spec.hpp"
#include "control/restriction/outlook.hpp"

namespace leeward::control {

struct RestrictionPlan {
  FixedVector<int, kMaxStations> fitted;  ///< restriction index per station
  int changes = 0;                        ///< the one before the first station included
  int unserved = 0;                       ///< stations that no restriction serves even without margin
};

/// Dynamic programming over the stations in order.
///
/// A station outside the valid range costs more than any number of changes, a station inside the range
/// but outside the margin costs less than a change; among equals the plan with the largest reserve wins.
///
/// @param stations_pa  induced sizes in the order they will be visited
/// @param fitted       what is fitted now
[[nodiscard]] RestrictionPlan plan_restrictions(const HouseCurve& house, const FanMap& map,
                                                const FanCurve& curve, const FanSpec& fan,
                                                std::span<const double> stations_pa, int fitted,
                                                int fans) noexcept;

}  // namespace leeward::control
