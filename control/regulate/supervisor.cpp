#include "control/regulate/supervisor.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

// Of the filter's surprise, the smoothed square of a gauge's error over what was expected: 1 where all is
// well.
constexpr double kDistrust = 25;
constexpr double kTrustAgain = 4;
constexpr double kTrustTime = 10;   // s
constexpr int kSwingsDistrust = 4;  // of the demand to and fro: half of what the guard bears
constexpr double kSwungTime = 60;   // s for which the plain law drives after them
constexpr double kLongestTick = 0.5;
constexpr double kShortestTick = 0.02;
constexpr double kLeastDemand = 1e-6;  // a demand of 0 would mean that none is kept

void judge(SupervisorState& s, const PlantFilter& f, int swings, double dt_s) {
  const double surprise = std::max(f.surprise[0], f.surprise[1]);
  if (!(surprise < kDistrust)) s.trusted = false;
  s.sound_s = surprise < kTrustAgain ? s.sound_s + dt_s : 0;
  if (s.model_drives && swings >= kSwingsDistrust) {
    s.trusted = false;
    s.sound_s = kTrustTime - kSwungTime;
  }
  if (!s.trusted && s.sound_s >= kTrustTime) s.trusted = true;
}

/// Where the pressure is to be by now: on a climb the reference, else the target itself.
ModelTarget target_of(const SupervisorState& s, const RegulatorInput& in) {
  const double now = s.plain.reference.value_pa;
  const bool climbs = in.rate_pa_s > 0 && s.plain.active;
  ModelTarget to{.pressure_pa = in.target_pa,
                 .measured_pa = in.measured_pa,
                 .acting_frac = in.last_applied_frac,
                 .min_frac = in.min_demand_frac,
                 .max_frac = in.max_demand_frac,
                 .dt_s = std::clamp(in.dt_s, kShortestTick, kLongestTick)};
  if (in.rate_pa_s > 0) {
    to.pressure_pa = climbs ? now : std::max(0.0, in.measured_pa);
    to.moving = to.pressure_pa != in.target_pa;
    to.rate_pa_s = to.moving && climbs ? std::copysign(in.rate_pa_s, in.target_pa - now) : 0;
  }
  return to;
}

RegulatorOutput by_model(const RegulatorSpec& spec, SupervisorState& s, RegulatorInput in,
                         const PlantModel& model, const PlantFilter& filter) {
  const ModelTarget to = target_of(s, in);
  const ModelDemand law = model_demand(s.model, model, filter, to);
  in.keep_frac = std::max(kLeastDemand, law.demand_frac);
  RegulatorOutput out = regulator_step(spec, s.plain, in);
  if (in.rate_pa_s <= 0) s.plain.reference = reference_at(in.target_pa);
  out.reference_pa = in.rate_pa_s > 0 ? s.plain.reference.value_pa : in.target_pa;
  out.error_pa = out.reference_pa - in.measured_pa;
  out.feedforward_frac = law.steady_frac;
  out.unlimited_frac = law.demand_frac;
  if (law.demand_frac >= in.max_demand_frac) out.limited_by = LimitedBy::demand_max;
  if (law.demand_frac <= in.min_demand_frac) out.limited_by = LimitedBy::demand_min;
  return out;
}

}  // namespace

RegulatorOutput supervisor_step(const RegulatorSpec& spec, SupervisorState& s, const RegulatorInput& in,
                                const PlantModel& model, const PlantFilter& filter) noexcept {
  judge(s, filter, in.swings, in.dt_s);
  const bool may = spec.law == RegulatorLaw::model && s.trusted && filter.started && in.drive;
  if (!in.drive) s.model = ModelState{.trim_speed = s.model.trim_speed};
  if (!may || in.keep_frac > 0) {
    // The plain law takes over from the pressure as it is, with the fan as it runs.
    if (s.model_drives && !(in.keep_frac > 0)) s.plain.active = false;
    s.model_drives = s.model_drives && in.keep_frac > 0 && may;
    return regulator_step(spec, s.plain, in);
  }
  s.model_drives = true;
  if (in.fresh) return by_model(spec, s, in, model, filter);
  RegulatorInput held = in;  // nothing new was read: the fan keeps on
  held.keep_frac = std::max(kLeastDemand, in.last_applied_frac);
  return regulator_step(spec, s.plain, held);
}

}  // namespace leeward::control
