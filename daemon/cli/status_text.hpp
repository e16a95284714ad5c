#pragma once
/// The daemon's JSON as lines for a person.

#include <string>

#include <nlohmann/json_fwd.hpp>

namespace leeward::daemon {

[[nodiscard]] std::string status_text(const nlohmann::json& status);
[[nodiscard]] std::string asks_text(const nlohmann::json& asks);
[[nodiscard]] std::string runs_text(const nlohmann::json& runs);
/// "3  Fit bore-165 into fan 1 ... [done, keep]", broken into lines of a terminal; ends with a line feed.
/// @param before  stands before the id
[[nodiscard]] std::string ask_text_block(const std::string& before, const nlohmann::json& ask);

}  // namespace leeward::daemon
