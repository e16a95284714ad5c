#pragma once
/// What the crew is asked to do, and how it may answer.

#include <string>
#include <string_view>
#include <vector>

#include "control/ask.hpp"
#include "control/engine_config.hpp"
#include "control/request.hpp"

namespace leeward::daemon {

/// "Fit bore-165 into fan 1, then answer done. The fan is off."
[[nodiscard]] std::string ask_text(const control::Ask& ask, const control::RunSpec& run,
                                   const control::EngineConfig& config);

/// Names of the answers that this kind of ask accepts; `done` is always the first.
[[nodiscard]] std::vector<std::string_view> answers_of(control::AskKind kind);

/// Name of a restriction, or "restriction N" where the index is beyond the list. N counts from 1.
[[nodiscard]] std::string restriction_name(const control::EngineConfig& config, int fan, int restriction);

}  // namespace leeward::daemon
