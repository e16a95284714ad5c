#include "control/restriction/outlook.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {

Outlook outlook(const HouseCurve& house, const FanMap& map, const FanCurve& curve,
                const RestrictionSpec& restriction, double pressure_pa, int fans,
                const OutlookMargins& margins) noexcept {
  Outlook out;
  const double flow = flow_at(house, pressure_pa) / std::max(1, fans);
  out.signal_pa = signal_pa(restriction, flow);
  out.readable = signal_range(restriction, out.signal_pa) == SignalRange::inside;
  const std::optional<double> demand = demand_needed(map, curve, restriction, flow, pressure_pa);
  out.reachable = demand.has_value();
  // Beyond full demand the excess is unknown but the station's own size still orders the shortfalls.
  out.demand_frac = demand.value_or(1.0 + pressure_pa / 100.0);

  const double low = restriction.signal_min_pa * margins.signal_low;
  const double high = restriction.signal_max_pa * margins.signal_high;
  const double too_low = low > 0 && out.signal_pa < low ? std::log(low / std::max(out.signal_pa, 1e-6)) : 0;
  const double too_high = out.signal_pa > high ? std::log(out.signal_pa / high) : 0;
  const double too_weak =
      out.demand_frac > margins.demand_frac ? 2.0 * (out.demand_frac - margins.demand_frac) : 0;
  out.shortfall = too_low + too_high + too_weak;
  return out;
}

}  // namespace leeward::control
