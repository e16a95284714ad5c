#pragma once
/// What the learnt curves say about regulating at a pressure: demand, plant gain, time constants.

#include "control/estimate/fan_map.hpp"
#include "control/estimate/house_curve.hpp"

namespace leeward::control {

/// The curves as they stand now, and what is fitted.
struct PlantView {
  const HouseCurve& house;
  const FanMap& map;
  const FanCurve& curve;
  const RestrictionSpec& restriction;
  int fans = 1;
  double volume_m3 = 0;  ///< 0: not told
};

/// Demand that should hold an induced size; full demand where it is out of reach.
[[nodiscard]] double feedforward_frac(const PlantView& plant, double pressure_pa,
                                      double max_demand_frac) noexcept;

/// Slope of pressure over demand, Pa per full demand, at an induced size.
[[nodiscard]] double plant_gain_pa(const PlantView& plant, double pressure_pa,
                                   double max_demand_frac) noexcept;

/// Time in which the zone's pressure follows the fan, at an induced size.
/// Source  compliance of the zone's air V / (k p) over the slopes of the leakage curve and of the fan
[[nodiscard]] double zone_time_s(const PlantView& plant, double pressure_pa) noexcept;

}  // namespace leeward::control
