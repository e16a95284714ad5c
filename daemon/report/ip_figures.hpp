#pragma once
/// The figures of a result in inch-pound units, for JSON: an object of its own, so that no key says one unit
/// and holds another.

#include <nlohmann/json.hpp>

namespace leeward::daemon {

/// @param result  as result_json() gives it
[[nodiscard]] nlohmann::json ip_figures(const nlohmann::json& result);

}  // namespace leeward::daemon
