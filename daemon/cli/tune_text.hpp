#pragma once
/// What a tuning found, for a terminal and for programs.

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "daemon/tune/tune_result.hpp"

namespace leeward::daemon {

[[nodiscard]] std::string tune_text(const TuneOptions& options, const TuneResult& result);

/// What does not exist (a margin that nothing limits) is null.
[[nodiscard]] nlohmann::json tune_json(const TuneOptions& options, const TuneResult& result);

}  // namespace leeward::daemon
