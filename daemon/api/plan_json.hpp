#pragma once
/// The plan of the run in hand: its stations, and how far each is.

#include <nlohmann/json_fwd.hpp>

#include "control/engine_state.hpp"

namespace leeward::daemon {

/// null while there is no run.
[[nodiscard]] nlohmann::json plan_json(const control::EngineState& state);

}  // namespace leeward::daemon
