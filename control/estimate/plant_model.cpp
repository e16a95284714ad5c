#include "control/estimate/plant_model.hpp"

#include <algorithm>
#include <cmath>

#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kStraightBelow = 0.3;  // Pa

}  // namespace

double ln_storage(double volume_m3, double give) noexcept {
  constexpr double usual_volume = 500;  // m3
  constexpr double air_pa = 101325;
  return std::log(give * (volume_m3 > 0 ? volume_m3 : usual_volume) / air_pa);
}

LeakFlow leak_flow(double level, double exponent, double across_pa) noexcept {
  const double size = std::abs(across_pa);
  const double bound = std::max(size, kStraightBelow);
  const double at_bound = std::exp(level + exponent * std::log(bound / kPlantPivotPa));
  if (size < kStraightBelow) return {at_bound * across_pa / bound, at_bound / bound};
  return {std::copysign(at_bound, across_pa), exponent * at_bound / bound};
}

double ramp_step(const PlantModel& m, double ramp, double speed_wanted, double dt_s) noexcept {
  constexpr double quickest_s = 0.05;
  const double most = dt_s / std::max(quickest_s, m.drive_slew_s);
  return ramp + std::clamp(speed_wanted - ramp, -most, most);
}

ZoneStep zone_step(const PlantModel& m, const ZoneInput& in, double dt_s) noexcept {
  ZoneStep out;
  if (!m.covered)
    out.fan =
        fan_flow(*m.curve, *m.restriction, in.speed_frac, in.pressure_pa + m.fan_offset_pa, in.near_m3_s);
  out.leak = leak_flow(in.level, in.exponent, in.pressure_pa - in.wind_pa);
  out.pull_per_s = (out.leak.per_pa - m.fans * out.fan.per_pa) / in.compliance_m3_pa;
  out.rate_pa_s = (m.fans * out.fan.flow_m3_s - out.leak.m3_s) / in.compliance_m3_pa;
  out.settle_s = lag_share(dt_s, 1 / out.pull_per_s) / out.pull_per_s;
  return out;
}

}  // namespace leeward::control
