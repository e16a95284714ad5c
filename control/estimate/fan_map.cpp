#include "control/estimate/fan_map.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

constexpr double kGuessShutOff = 300.0;  // Pa, a portable door fan, common practice
constexpr double kMapErrorTime = 1.5;    // s over which errors of single readings hang together
constexpr double kOffsetWalkPerS = 0.003 * 0.003 / 10.0;
constexpr double kScaleWalkPerS = 0.01 * 0.01 / 10.0;

}  // namespace

FanMap fan_map_prior(bool has_curve) noexcept {
  FanMap map;
  if (!has_curve) map.pair.var_b = 0.3 * 0.3;
  return map;
}

Result<FanCurve> curve_or_guess(const FanSpec& fan) {
  if (fan.curve.size() >= 2) return FanCurve::make(fan.curve);
  const RestrictionSpec& largest = fan.restrictions[0];
  const double free_flow = flow_m3_s(largest, largest.signal_max_pa);
  FixedVector<CurvePoint, kMaxCurvePoints> points;
  for (const double part : {0.0, 0.25, 0.5, 0.75, 1.0})
    points.push_back({part * free_flow, kGuessShutOff * (1.0 - part * part)});
  return FanCurve::make(points);
}

std::optional<double> demand_needed(const FanMap& map, const FanCurve& curve,
                                    const RestrictionSpec& restriction, double flow,
                                    double pressure_pa) noexcept {
  const double rise = pressure_pa + lost_pressure_pa(restriction, flow);
  // Solved a little beyond full speed, so that a strong unit is not told to be out of reach.
  const std::optional<double> speed = demand_for(curve, flow, rise, 1.3);
  if (!speed) return std::nullopt;
  const double demand = map.pair.a + map.pair.b * *speed;
  if (demand > 1.0) return std::nullopt;
  return std::max(0.0, demand);
}

FanMap learn(const FanMap& map, const FanCurve& curve, const RestrictionSpec& restriction, double dt_s,
             double flow, double pressure_pa, double demand_frac, double demand_u_frac) noexcept {
  if (!(dt_s > 0) || !(flow >= 0) || !(pressure_pa > 2.0) || !(demand_frac > 0.02)) return map;
  const std::optional<double> speed =
      demand_for(curve, flow, pressure_pa + lost_pressure_pa(restriction, flow), 1.5);
  if (!speed || !(*speed > 0.02)) return map;
  FanMap next = map;
  next.pair = forget(next.pair, kOffsetWalkPerS * dt_s, kScaleWalkPerS * dt_s);
  const double together = std::max(1.0, 2.0 * kMapErrorTime / dt_s);
  next.pair = observe(next.pair, *speed, demand_frac, demand_u_frac * demand_u_frac * together);
  next.pair.a = std::clamp(next.pair.a, -0.1, 0.25);
  next.pair.b = std::clamp(next.pair.b, 0.5, 2.0);
  return next;
}

double least_pressure_pa(const FanMap& map, const FanCurve& curve, const RestrictionSpec& restriction,
                         double flow, double demand_frac, double sigmas) noexcept {
  const double spread = sigmas * std::sqrt(std::max(0.0, variance_at(map.pair, demand_frac)));
  const double speed = (demand_frac - map.pair.a - spread) / map.pair.b;
  if (!(speed > 0.05) || !std::isfinite(flow)) return 0;
  return std::max(0.0, curve.rise_pa(speed, flow) - lost_pressure_pa(restriction, flow));
}

}  // namespace leeward::control
