#pragma once
/// What happened, in one line for a log or a list.

#include <string>

#include "control/engine_config.hpp"
#include "control/event.hpp"
#include "control/request.hpp"

namespace leeward::daemon {

[[nodiscard]] std::string event_text(const control::Event& event, const control::EngineConfig& config,
                                     const control::RunSpec& run);

}  // namespace leeward::daemon
