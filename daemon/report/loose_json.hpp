#pragma once
/// Reading of JSON that came over the network: a key that is missing or of another type is not known.

#include <limits>
#include <string>

#include <nlohmann/json.hpp>

namespace leeward::daemon {

[[nodiscard]] inline std::string text_at(const nlohmann::json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_string() ? it->get<std::string>() : std::string();
}

/// @returns NaN where there is no number
[[nodiscard]] inline double number_at(const nlohmann::json& object, const std::string& key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_number() ? it->get<double>() : std::numeric_limits<double>::quiet_NaN();
}

[[nodiscard]] inline bool true_at(const nlohmann::json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_boolean() && it->get<bool>();
}

/// @returns an empty array where there is none
[[nodiscard]] inline nlohmann::json list_at(const nlohmann::json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_array() ? *it : nlohmann::json::array();
}

/// @returns an empty object where there is none
[[nodiscard]] inline nlohmann::json object_at(const nlohmann::json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_object() ? *it : nlohmann::json::object();
}

}  // namespace leeward::daemon
