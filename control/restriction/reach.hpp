#pragma once
/// The flows that a restriction can be used for: what its signal can say, and what the fan can move through
/// it.

#include "control/estimate/fan_map.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// Curve speed that the fan comes to at a demand, as far as it is known.
struct TopSpeed {
  double speed_frac = 1;
  double u_frac = 0;  ///< standard uncertainty
};

/// What the map says of the speed at a demand. Where the curve is the fan's own, that full demand is about
/// full speed is known besides.
[[nodiscard]] TopSpeed top_speed(const FanMap& map, bool has_curve, double demand_frac) noexcept;

/// Least flow of one fan whose signal the restriction's calibration holds for.
[[nodiscard]] double least_flow_m3_s(const RestrictionSpec& restriction) noexcept;

/// Most flow of one fan against a building pressure at a speed, through the restriction and inside its
/// signal's range. 0 where the fan does not come to that pressure at all.
[[nodiscard]] double most_flow_m3_s(const RestrictionSpec& restriction, const FanCurve& curve,
                                    double speed_frac, double pressure_pa) noexcept;

}  // namespace leeward::control
