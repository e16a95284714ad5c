#pragma once
/// A result for people in a terminal: 80 columns, no colour.

#include <string>

#include <nlohmann/json.hpp>

namespace leeward::daemon {

/// @param result  as result_json() gives it, also after a way through the network: keys that are missing or
///                of another type read as not known
[[nodiscard]] std::string result_table(const nlohmann::json& result);

}  // namespace leeward::daemon
