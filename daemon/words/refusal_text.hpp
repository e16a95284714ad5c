#pragma once
/// Why a request was refused: what is wrong, the limit, and what to do instead.

#include <string>

#include "control/engine_config.hpp"
#include "control/request.hpp"

namespace leeward::daemon {

/// One line; empty when the request was accepted.
[[nodiscard]] std::string refusal_text(control::Refusal refusal, const control::Request& request,
                                       const control::EngineConfig& config);

}  // namespace leeward::daemon
