#include "control/regulate/model_law.hpp"

#include <algorithm>
#include <cmath>

#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kPressureTime = 0.7;  // s in which the pressure closes on its target at the quickest ...
constexpr double kSlowestTime = 6;
constexpr double kMostGain =
    0.15;  // ... and so that a gauge's noise moves no more of the speed, for a pascal
constexpr double kSpeedTime = 0.4;     // s in which the wheel closes on its speed
constexpr double kMostRate = 25;       // Pa/s
constexpr double kDriveLead = 0.4;     // s of slew that the demand is ahead of the ramp: farther is no faster
constexpr double kForecastFrom = 0.5;  // Pa from the target; nearer, the inversion alone lands
// Pa by which a move up may be forecast to pass its target, and by which one down has to be forecast to end
// before it: what the forecast is off by then does not show as an overshoot.
constexpr double kBeyond = 0.1;
constexpr double kShort = 0.15;
constexpr double kMoveCaution = 2;      // standard uncertainties of the leakage that a move reckons with ...
constexpr double kMoveCautionFrom = 5;  // ... from so many Pa on: nearer, the reading shows what is left
constexpr double kArrived = 1;          // Pa
constexpr double kLost = 15;            // Pa from the target: something has changed, travel again
constexpr double kUsualTime = 20;       // s
constexpr double kSwing = 0.11;         // of full demand that a hold may use each way, in still air
constexpr double kGustsDouble = 0.25;   // Pa of gusts that double it: going against them takes what it takes
constexpr double kTrimTime = 30;        // s
constexpr double kTrimWithin = 5;       // Pa from the target
constexpr double kStandsStill = 0.5;    // Pa/s
constexpr double kMostTrim = 0.05;
constexpr double kFanExponent = 0.5;  // of speed over pressure, for the trim

struct Aim {
  double steady_speed = 0;  ///< that holds the target in the wind of just now
  double ramp = 0;          ///< to send the drive to
};

/// The model inverted: the speed that makes the pressure close on its target, and the ramp that makes the
/// wheel close on that speed.
Aim aim_at(const MovePlant& plant, const MovePoint& at, const ModelTarget& to, double trim_speed) {
  const PlantModel& m = plant.model;
  const double error = to.pressure_pa - at.pressure_pa;
  const FanFlow fan =
      fan_flow(*m.curve, *m.restriction, at.speed, at.pressure_pa + m.fan_offset_pa, at.flow_m3_s);
  constexpr double least_give = 1e-4;
  const double quickest = plant.compliance_m3_pa * m.drive_lag_s /
                          (kSpeedTime * kMostGain * std::max(least_give, m.fans * fan.per_speed));
  const double rate = to.rate_pa_s + error / std::clamp(quickest, kPressureTime, kSlowestTime);
  const double stored = plant.compliance_m3_pa * std::clamp(rate, -kMostRate, kMostRate);
  const LeakFlow leak = leak_flow(plant.level, plant.exponent, at.pressure_pa - at.wind_pa);
  const LeakFlow held = leak_flow(plant.level, plant.exponent, to.pressure_pa - at.wind_pa);
  Aim aim;
  aim.steady_speed = speed_for(m, held.m3_s, to.pressure_pa);
  const double moving = speed_for(m, leak.m3_s + stored, at.pressure_pa);
  // A quick zone stands where the speed puts it: there the target's own speed is the way.
  const double needed = (error > 0 ? std::max(aim.steady_speed, moving) : std::min(aim.steady_speed, moving));
  aim.ramp = at.speed + (needed + trim_speed - at.speed) * std::max(1.0, m.drive_lag_s / kSpeedTime);
  return aim;
}

/// Between going on and braking, so that the forecast ends at the target.
double braked(const MovePlant& plant, const MovePoint& at, const ModelTarget& to, double demand, double step,
              double doubt, ModelDemand& out) {
  const double error = to.pressure_pa - at.pressure_pa;
  if (to.moving || std::abs(error) < kForecastFrom) return demand;
  const double sign = error > 0 ? 1 : -1;
  MovePlant doubted = plant;
  doubted.level -= sign * doubt * std::min(1.0, std::abs(error) / kMoveCautionFrom);
  const double hardest = sign > 0 ? to.min_frac : to.max_frac;
  const double limit = sign * to.pressure_pa + (sign > 0 ? kBeyond : -kShort);
  const double going = farthest_pa(doubted, at, demand, hardest, sign, to.dt_s);
  if (going <= limit) return demand;
  out.braking = true;
  const double brake = plant.demand_of(at.ramp) - sign * step;
  const double stopping = farthest_pa(doubted, at, brake, hardest, sign, to.dt_s);
  const double part = going > stopping ? std::clamp((limit - stopping) / (going - stopping), 0.0, 1.0) : 0;
  return brake + part * (demand - brake);
}

void note_arrival(ModelState& s, const ModelTarget& to, double error) {
  if (to.pressure_pa != s.target_pa && !to.moving) s.trim_speed = 0;
  if (to.pressure_pa != s.target_pa || std::abs(error) > kLost) s.arrived = false;
  s.target_pa = to.pressure_pa;
  if (s.arrived || to.moving || std::abs(error) > kArrived) return;
  s.arrived = true;
  s.usual_frac = 0;
}

/// What the model is off by, while the pressure stands near its target.
void trim(ModelState& s, const ModelTarget& to, double rate_pa_s, double steady_frac) {
  const double off = to.pressure_pa - to.measured_pa;
  if (to.moving || std::abs(off) > kTrimWithin || std::abs(rate_pa_s) > kStandsStill) return;
  const double speed = off * kFanExponent * steady_frac / std::max(kTrimWithin, to.pressure_pa);
  s.trim_speed = std::clamp(s.trim_speed + speed * to.dt_s / kTrimTime, -kMostTrim, kMostTrim);
}

/// A hold stays near its usual demand: in still air a drive that is not what was told can make no large
/// swings of it.
double held(ModelState& s, const PlantModel& m, const ModelTarget& to, double demand, double steady_frac) {
  if (!s.arrived) return demand;
  if (s.usual_frac <= 0) s.usual_frac = steady_frac;
  const double most = kSwing * (1 + m.wind_u_pa / kGustsDouble);
  const double kept = std::clamp(demand, s.usual_frac - most, s.usual_frac + most);
  s.usual_frac = lag_step(s.usual_frac, kept, to.dt_s, kUsualTime);
  return kept;
}

}  // namespace

ModelDemand model_demand(ModelState& s, const PlantModel& m, const PlantFilter& f,
                         const ModelTarget& to) noexcept {
  const MovePlant plant = plant_of(f, m);
  MovePoint at = point_of(f);
  const double rate = go_on(plant, at, to.acting_frac, to.dt_s);
  note_arrival(s, to, to.pressure_pa - at.pressure_pa);

  ModelDemand out;
  const Aim aim = aim_at(plant, at, to, s.trim_speed);
  out.steady_frac = std::clamp(plant.demand_of(aim.steady_speed + s.trim_speed), to.min_frac, to.max_frac);
  trim(s, to, rate, out.steady_frac);
  const double here = plant.demand_of(at.ramp);
  const double step = kDriveLead / std::max(0.1, m.drive_slew_s) * plant.scale;
  const double wanted = std::clamp(plant.demand_of(aim.ramp), here - step, here + step);
  const double doubt = kMoveCaution * f.flow_relative_u_at(to.pressure_pa);
  const double safe = braked(plant, at, to, std::clamp(wanted, to.min_frac, to.max_frac), step, doubt, out);
  const double kept = held(s, m, to, std::clamp(safe, to.min_frac, to.max_frac), out.steady_frac);
  out.demand_frac = std::clamp(kept, to.min_frac, to.max_frac);
  return out;
}

}  // namespace leeward::control
