#pragma once
/// Which law drives: the model's as long as the filter's forecasts come true, the plain 2-DOF PI(D)
/// otherwise. Either takes over where the other left the fan.

#include "control/regulate/model_law.hpp"
#include "control/regulate/pressure_regulator.hpp"

namespace leeward::control {

struct SupervisorState {
  RegulatorState plain;
  ModelState model;
  bool model_drives = false;
  bool trusted = true;
  double sound_s = 0;  ///< since when the forecasts have come true
  bool operator==(const SupervisorState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("plain", &SupervisorState::plain);
    v("model", &SupervisorState::model);
    v("model_drives", &SupervisorState::model_drives);
    v("trusted", &SupervisorState::trusted);
    v("sound_s", &SupervisorState::sound_s);
  }
};

/// One tick. Without drive it only forgets, so that the next start is bumpless.
[[nodiscard]] RegulatorOutput supervisor_step(const RegulatorSpec& spec, SupervisorState& state,
                                              const RegulatorInput& in, const PlantModel& model,
                                              const PlantFilter& filter) noexcept;

}  // namespace leeward::control
