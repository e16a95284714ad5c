#pragma once
/// What demand a fan needs for a flow against a pressure: the fan's curve by the affinity laws, and
/// what is learnt of how the drive turns demand into speed.

#include <optional>

#include "control/estimate/linear_pair.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// demand = offset + scale * speed, where speed is what the curve asks for.
struct FanMap {
  LinearPair pair{0.03, 0.97, 0.02 * 0.02, 0.0, 0.05 * 0.05};
  bool operator==(const FanMap&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("pair", &FanMap::pair);
  }
};

/// What is believed of a drive before it has run: a dead band of 3 +- 2 %, and a unit that differs by
/// 5 % in speed from the curve of its file, or by 30 % from a guessed one (common practice, no source).
[[nodiscard]] FanMap fan_map_prior(bool has_curve) noexcept;

/// The curve of the fan file, or one inferred from the largest restriction's range where it has none:
/// the shape of a common centrifugal wheel. The map learns what it is off by.
[[nodiscard]] Result<FanCurve> curve_or_guess(const FanSpec& fan);

/// Demand for a flow and an induced pressure with a restriction fitted; nullopt beyond full demand.
[[nodiscard]] std::optional<double> demand_needed(const FanMap& map, const FanCurve& curve,
                                                  const RestrictionSpec& restriction, double flow_m3_s,
                                                  double pressure_pa) noexcept;

/// Learns from a quasi-steady reading: the speed that the curve asks for against the demand applied.
/// @param demand_frac  as the drive follows it, lag and slew taken off
[[nodiscard]] FanMap learn(const FanMap& map, const FanCurve& curve, const RestrictionSpec& restriction,
                           double dt_s, double flow_m3_s, double pressure_pa, double demand_frac,
                           double demand_u_frac) noexcept;

/// Least building pressure that a turning fan must be making, judged from its own signal alone:
/// speed and head at the low end of what is plausible. 0 where nothing can be said.
/// @param sigmas  of the speed that counts as the low end; below 0 the most that it may be making
[[nodiscard]] double least_pressure_pa(const FanMap& map, const FanCurve& curve,
                                       const RestrictionSpec& restriction, double flow_m3_s,
                                       double demand_frac, double sigmas = 2.0) noexcept;

}  // namespace leeward::control
