#pragma once
/// What the pressure will do when the drive brakes as hard as it can: the model stepped ahead.

#include "control/estimate/plant_filter.hpp"

namespace leeward::control {

/// The fast states.
struct MovePoint {
  double speed = 0;
  double pressure_pa = 0;
  double wind_pa = 0;
  double ramp = 0;
  double flow_m3_s = 0;
};

/// The slow ones, and the equations.
struct MovePlant {
  const PlantModel& model;
  double level = 0;
  double exponent = 0.65;
  double compliance_m3_pa = 0;
  double offset_frac = 0;
  double scale = 1;
  [[nodiscard]] double speed_of(double demand_frac) const;
  [[nodiscard]] double demand_of(double speed) const { return offset_frac + scale * speed; }
};

[[nodiscard]] MovePoint point_of(const PlantFilter& filter);
[[nodiscard]] MovePlant plant_of(const PlantFilter& filter, const PlantModel& model);

/// One step under a demand.
/// @returns the mean rate of the pressure, Pa/s
double go_on(const MovePlant& plant, MovePoint& at, double demand_frac, double dt_s);

/// How far the pressure comes along `sign` after `demand_frac` for dt_s and `hardest_frac` from then on.
/// @returns sign times the farthest pressure, Pa
[[nodiscard]] double farthest_pa(const MovePlant& plant, MovePoint at, double demand_frac,
                                 double hardest_frac, double sign, double dt_s);

/// Speed that moves a flow against an induced pressure; 1.5 where none does.
[[nodiscard]] double speed_for(const PlantModel& model, double flow_m3_s, double pressure_pa);

}  // namespace leeward::control
