#pragma once
/// How long a run will still take.

#include <optional>

#include "control/engine_state.hpp"

namespace leeward::daemon {

/// Seconds to the closing baseline's end of the last direction, at the pace of the readings taken so far;
/// what people take for their part is not in it. nullopt while no run is under way.
[[nodiscard]] std::optional<double> run_left_s(const control::EngineState& state, double phase_left_s);

}  // namespace leeward::daemon
