#include "control/plant_watch.hpp"

#include <algorithm>

#include "control/signs.hpp"

namespace leeward::control {
namespace {

constexpr double kStillAir = 0.05;  // Pa: a gauge's slow wandering passes for wind of this size
// Of the gusts' time: most of what drives a pressure to and fro within seconds is quicker than the whole.
constexpr double kQuickShare = 0.7;

}  // namespace

DriveReading drive_reading(const Trace& t, double dt_s) noexcept {
  return {.dt_s = dt_s,
          .demand_frac = t.demand_frac,
          .pressure_pa = t.induced_pa,
          .signal_pa = t.signal_pa[0],
          .pressure_good = t.pressure_good,
          .signal_good = true};
}

RegulatorSpec regulator_told(RegulatorSpec spec, const DriveFound& drive) noexcept {
  if (!drive.known) return spec;
  spec.drive_slew_s = drive.slew_s.value;
  spec.drive_lag_s = drive.lag_s.value;
  spec.sensor_lag_s = drive.sensor_lag_s.value;
  spec.signal_lag_s = drive.signal_lag_s.value;
  return spec;
}

PlantModel plant_model(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves,
                       const EngineState& s) noexcept {
  PlantModel m;
  m.curve = &curves[0];
  m.restriction = &config.fans[0].restrictions[static_cast<std::size_t>(s.fans[0].fitted)];
  m.fans = static_cast<int>(config.fans.size());
  m.covered = s.fans[0].covered;
  m.fan_offset_pa = along(s.direction, s.zero_flow_pa);
  const RegulatorSpec regulator = regulator_told(config.regulator, s.drive);
  m.drive_slew_s = regulator.drive_slew_s;
  m.drive_lag_s = regulator.drive_lag_s;
  m.gauge_lag_s = regulator.sensor_lag_s;
  m.signal_lag_s = regulator.signal_lag_s;
  m.wind_u_pa = std::max(kStillAir, s.gusts.sd_pa);
  m.wind_time_s = kQuickShare * s.gusts.time_s;
  return m;
}

void watch_plant(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves, EngineState& s,
                 const Perception& seen) noexcept {
  if (!s.has_zero_flow) return;
  const PlantModel m = plant_model(config, curves, s);
  if (!s.plant.started || s.plant.volume_m3 != s.volume_m3)
    s.plant = plant_prior(m, s.volume_m3, s.house, s.fan_map);
  if (s.plant_direction != s.direction) s.plant = for_other_direction(s.plant);
  s.plant_direction = s.direction;
  plant_predict(s.plant, m, s.plant.waiting_frac, seen.sight.dt_s);
  s.plant.waiting_frac = s.applied_frac;
  if (seen.sight.fresh) plant_see_pressure(s.plant, s.induced_pa);
  if (m.covered || !seen.sight.flow_good) return;
  plant_see_signal(s.plant, seen.sight.signal_pa[0]);
  if (seen.sight.fresh) plant_anchor(s.plant, m, seen.sight.dt_s);
}

}  // namespace leeward::control
