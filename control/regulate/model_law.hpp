#pragma once
/// The demand that brings the pressure to a target as fast as the drive allows, and keeps it there: the model
/// inverted, and braked as soon as the forecast would pass the target.

#include "control/regulate/move_forecast.hpp"

namespace leeward::control {

struct ModelTarget {
  double pressure_pa = 0;
  double rate_pa_s = 0;  ///< of a moving target; 0 for one that stands
  bool moving = false;   ///< on its way to the pressure that is wanted in the end
  double measured_pa = 0;
  double acting_frac = 0;  ///< demand that acts until the next sample
  double min_frac = 0.05;
  double max_frac = 1;
  double dt_s = 0.1;
};

struct ModelState {
  double target_pa = 0;   ///< of the last step
  bool arrived = false;   ///< has been at the target since it was set
  double usual_frac = 0;  ///< the demand of late, while holding
  double trim_speed = 0;  ///< what the model was found to be off by
  bool operator==(const ModelState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("target_pa", &ModelState::target_pa);
    v("arrived", &ModelState::arrived);
    v("usual_frac", &ModelState::usual_frac);
    v("trim_speed", &ModelState::trim_speed);
  }
};

struct ModelDemand {
  double demand_frac = 0;
  double steady_frac = 0;  ///< that should hold the target
  bool braking = false;
};

/// One tick.
/// Range  min_frac..max_frac
[[nodiscard]] ModelDemand model_demand(ModelState& state, const PlantModel& model, const PlantFilter& filter,
                                       const ModelTarget& target) noexcept;

}  // namespace leeward::control
