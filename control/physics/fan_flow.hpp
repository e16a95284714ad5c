#pragma once
/// What a fan moves at a speed against a pressure, with its slopes: what a model of the plant steps with.

#include "control/physics/fan_curve.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

struct FanFlow {
  double flow_m3_s = 0;
  double per_speed = 0;  ///< m3/s for full speed, at least 0
  double per_pa = 0;     ///< m3/s for each pascal against it, at most 0
};

/// Flow of one fan through its restriction, as its signal reads.
/// @param near_m3_s  where to start looking: the flow at the last point
/// Range   any speed and pressure; below 0 is reverse flow
[[nodiscard]] FanFlow fan_flow(const FanCurve& curve, const RestrictionSpec& restriction, double speed_frac,
                               double against_pa, double near_m3_s) noexcept;

}  // namespace leeward::control
