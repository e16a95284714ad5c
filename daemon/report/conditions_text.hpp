#pragma once
/// The weather of a run in a line: what was stated, and what was assumed because nobody stated it.

#include <string>

#include <nlohmann/json.hpp>

#include "daemon/report/units.hpp"

namespace leeward::daemon {

/// "indoors 21.0 C, outdoors 4.0 C, altitude 250 m": what was stated.
/// @param conditions  as result_json() gives them
[[nodiscard]] std::string conditions_text(const nlohmann::json& conditions, Units units);

/// "not stated: humidity (50 % assumed), wind"; empty where all was stated.
[[nodiscard]] std::string not_stated_text(const nlohmann::json& conditions);

}  // namespace leeward::daemon
