#pragma once
/// The filter of fan and house, fed with what the engine reads.

#include <array>

#include "control/engine_config.hpp"
#include "control/engine_state.hpp"
#include "control/estimate/drive_fit.hpp"
#include "control/perception.hpp"
#include "control/trace.hpp"

namespace leeward::control {

/// What a tick of the experiment tells of the drive.
[[nodiscard]] DriveReading drive_reading(const Trace& trace, double dt_s) noexcept;

/// The settings with what was found of the drive while running.
[[nodiscard]] RegulatorSpec regulator_told(RegulatorSpec spec, const DriveFound& drive) noexcept;

/// What the filter and the model law are told of the rig just now. Points into config and curves.
[[nodiscard]] PlantModel plant_model(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves,
                                     const EngineState& state) noexcept;

/// One tick, from the first zero-flow reading on.
void watch_plant(const EngineConfig& config, const std::array<FanCurve, kMaxFans>& curves, EngineState& state,
                 const Perception& seen) noexcept;

}  // namespace leeward::control
