#pragma once
/// What a station would look like with a restriction fitted, predicted from the learnt curves.

#include <cstdint>

#include "control/estimate/fan_map.hpp"
#include "control/estimate/house_curve.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// How much is kept free at the ends of the valid ranges, because the prediction is one.
struct OutlookMargins {
  double signal_low = 1.15;   ///< least signal / valid minimum
  double signal_high = 0.92;  ///< highest signal / valid maximum
  double demand_frac = 0.93;
};

struct Outlook {
  double signal_pa = 0;
  double demand_frac = 0;  ///< above 1 where the station is out of reach
  bool readable = false;   ///< signal inside the valid range
  bool reachable = false;  ///< full demand suffices
  double shortfall = 0;    ///< 0 inside every margin; grows with the distance from it
};

/// @param pressure_pa  induced size of the station
/// @param fans         how many equal fans share the flow
[[nodiscard]] Outlook outlook(const HouseCurve& house, const FanMap& map, const FanCurve& curve,
                              const RestrictionSpec& restriction, double pressure_pa, int fans,
                              const OutlookMargins& margins = {}) noexcept;

}  // namespace leeward::control
