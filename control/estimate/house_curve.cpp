#include "control/estimate/house_curve.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

constexpr double kPriorAirChange50 = 3.0;  // middle of the houses that are tested, common practice
constexpr double kPriorVolume = 500.0;
constexpr double kPriorLnU = 1.2;  // a factor of 3 either way
constexpr double kPriorExponentU = 0.07;
constexpr double kLeastPressure = 1.5;  // below it the zero-flow error drowns the reading
constexpr double kErrorTime = 1.5;      // s over which errors of single readings hang together
// An opening may appear: the level may drift by 2 % in 10 s, the exponent by 0.003.
constexpr double kLevelWalkPerS = 0.02 * 0.02 / 10.0;
constexpr double kExponentWalkPerS = 0.003 * 0.003 / 10.0;

double log_over_pivot(double pressure_pa) { return std::log(pressure_pa / HouseCurve::pivot_pa); }

}  // namespace

HouseCurve house_prior(double volume_m3) noexcept {
  const double volume = volume_m3 > 0 ? std::clamp(volume_m3, 10.0, 1e6) : kPriorVolume;
  const double q50 = kPriorAirChange50 * volume / 3600.0;
  const double level_u = volume_m3 > 0 ? kPriorLnU : 1.3 * kPriorLnU;
  HouseCurve curve;
  curve.pair.b = 0.65;
  curve.pair.a = std::log(q50) - curve.pair.b * log_over_pivot(50.0);
  curve.pair.var_a = level_u * level_u;
  curve.pair.var_b = kPriorExponentU * kPriorExponentU;
  return curve;
}

HouseCurve learn(const HouseCurve& curve, const HouseReading& r) noexcept {
  if (!(r.dt_s > 0) || !(r.pressure_pa > kLeastPressure) || !(r.flow_m3_s > 0)) return curve;
  if (!(r.flow_relative_u < 0.5) || !(r.storage_flow_m3_s < 0.5 * r.flow_m3_s)) return curve;
  const double pressure_part = exponent(curve) * r.pressure_u_pa / r.pressure_pa;
  const double storage_part = r.storage_flow_m3_s / r.flow_m3_s;
  const double one =
      r.flow_relative_u * r.flow_relative_u + pressure_part * pressure_part + storage_part * storage_part;
  const double together = std::max(1.0, 2.0 * kErrorTime / r.dt_s);
  HouseCurve next = curve;
  next.pair = forget(next.pair, kLevelWalkPerS * r.dt_s, kExponentWalkPerS * r.dt_s);
  next.pair = observe(next.pair, log_over_pivot(r.pressure_pa), std::log(r.flow_m3_s), one * together);
  next.pair.b = std::clamp(next.pair.b, 0.45, 1.05);
  next.informed_s += r.dt_s;
  return next;
}

HouseCurve for_other_direction(const HouseCurve& curve) noexcept {
  constexpr double kLevelU = 0.1;
  constexpr double kExponentU = 0.03;
  HouseCurve next = curve;
  next.pair = forget(next.pair, kLevelU * kLevelU, kExponentU * kExponentU);
  return next;
}

double ln_c(const HouseCurve& curve) noexcept {
  return curve.pair.a - curve.pair.b * std::log(HouseCurve::pivot_pa);
}

double exponent(const HouseCurve& curve) noexcept { return curve.pair.b; }

double flow_at(const HouseCurve& curve, double pressure_pa) noexcept {
  if (!(pressure_pa > 0)) return 0;
  return std::exp(curve.pair.a + curve.pair.b * log_over_pivot(pressure_pa));
}

double flow_relative_u_at(const HouseCurve& curve, double pressure_pa) noexcept {
  if (!(pressure_pa > 0)) return 1;
  return std::sqrt(std::max(0.0, variance_at(curve.pair, log_over_pivot(pressure_pa))));
}

}  // namespace leeward::control
