#pragma once
/// The filter of fan and house, fed with what the engine reads.

#include <array>

#include "control/engine_config.hpp"
#include "control/engine_state.hpp"
#include "control/perception.hpp"

namespace leeward::control {

/// What the filter and the model law are told of the rig just now. Points into config and curves.
[[nodiscard]] PlantModel plant_model(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves,
                                     const EngineState& state) noexcept;

/// One tick, from the first zero-flow reading on.
void watch_plant(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves, EngineState& state,
                 const Perception& seen) noexcept;

}  // namespace leeward::control
