#pragma once
/// From a raw sample to what the engine believes: screens, zero corrections, flows, learnt curves.

#include <array>

#include "control/engine_config.hpp"
#include "control/engine_state.hpp"
#include "control/event.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/procedure/sequencer.hpp"

namespace leeward::control {

struct Perception {
  Sight sight;
  bool pressure_good = false;  ///< a usable reading, fresh or younger than the missing-sample limit
  double pressure_age_s = 0;
  bool pressure_frozen = false;
  bool pressure_saturated = false;
  std::array<double, kMaxFans> flow_m3_s{};
  double estimate_m3_s = 0;  ///< total flow for the estimators: never less than the signal can tell from 0
};

/// Screens the sample and takes it into the state.
[[nodiscard]] Perception perceive(const EngineConfig& config, EngineState& state, const Sample& sample,
                                  double dt_s, Events& events) noexcept;

/// Lets the learnt curves take this tick in, when it is steady enough to tell anything.
void learn_from(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves, EngineState& state,
                const Perception& seen) noexcept;

}  // namespace leeward::control
