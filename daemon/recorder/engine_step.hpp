#pragma once
/// The real engine as the function that a replay tries.

#include <memory>

#include "daemon/recorder/replay.hpp"

namespace leeward::daemon {

[[nodiscard]] inline StepMaker engine_step_maker() {
  return [](const control::EngineConfig& config) -> StepFunction {
    return [engine = std::make_shared<const control::Engine>(config)](
               control::EngineState& state, const control::Sample& sample,
               std::span<const control::Request> requests) { return engine->step(state, sample, requests); };
  };
}

}  // namespace leeward::daemon
