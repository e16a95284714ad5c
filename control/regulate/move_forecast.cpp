#include "control/regulate/move_forecast.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {

double MovePlant::speed_of(double demand_frac) const {
  return demand_frac > offset_frac ? (demand_frac - offset_frac) / scale : 0;
}

MovePoint point_of(const PlantFilter& f) {
  return {f.at(PlantPart::speed), f.at(PlantPart::pressure), f.at(PlantPart::wind), f.ramp_speed,
          f.flow_m3_s};
}

MovePlant plant_of(const PlantFilter& f, const PlantModel& m) {
  return {m,
          f.at(PlantPart::level),
          f.at(PlantPart::exponent),
          std::exp(f.at(PlantPart::storage)),
          f.at(PlantPart::offset),
          std::exp(f.at(PlantPart::scale))};
}

double go_on(const MovePlant& plant, MovePoint& at, double demand_frac, double dt_s) {
  const double ramp_before = at.ramp;
  at.ramp = ramp_step(plant.model, at.ramp, plant.speed_of(demand_frac), dt_s);
  const double speed_before = at.speed;
  at.speed += lag_share(dt_s, plant.model.drive_lag_s) * (0.5 * (ramp_before + at.ramp) - at.speed);
  const ZoneStep z = zone_step(plant.model,
                               {0.5 * (speed_before + at.speed), at.pressure_pa, at.wind_pa, plant.level,
                                plant.exponent, plant.compliance_m3_pa, at.flow_m3_s},
                               dt_s);
  at.flow_m3_s = z.fan.flow_m3_s;
  const double way = z.settle_s * z.rate_pa_s;
  at.pressure_pa += way;
  return way / dt_s;
}

double farthest_pa(const MovePlant& plant, MovePoint at, double demand_frac, double hardest_frac, double sign,
                   double dt_s) {
  constexpr double part_s = 0.15;
  constexpr int most_parts = 40;
  (void)go_on(plant, at, demand_frac, dt_s);
  double farthest = sign * at.pressure_pa;
  for (int i = 0; i < most_parts; ++i) {
    const double rate = sign * go_on(plant, at, hardest_frac, part_s);
    farthest = std::max(farthest, sign * at.pressure_pa);
    if (rate <= 0) break;
  }
  return farthest;
}

double speed_for(const PlantModel& m, double flow_m3_s, double pressure_pa) {
  constexpr double beyond_full = 1.5;
  const double flow = std::max(0.0, flow_m3_s / m.fans);
  const double rise = pressure_pa + m.fan_offset_pa + lost_pressure_pa(*m.restriction, flow);
  return demand_for(*m.curve, flow, rise, beyond_full).value_or(beyond_full);
}

}  // namespace leeward::control
