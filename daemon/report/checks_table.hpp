#pragma once
/// The validity checks of a result in a terminal: one line each, more only where one failed.

#include <string>

#include <nlohmann/json.hpp>

namespace leeward::daemon {

/// @param result  as result_json() gives it; what is missing reads as not known
/// @returns       empty where there are no checks
[[nodiscard]] std::string checks_table(const nlohmann::json& result);

}  // namespace leeward::daemon
