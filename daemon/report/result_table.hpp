#pragma once
/// A result for people in a terminal: 80 columns, no colour.

#include <string>

#include <nlohmann/json.hpp>

#include "daemon/report/units.hpp"

namespace leeward::daemon {

/// @param result  as result_json() gives it, also after a way through the network: keys that are missing or
///                of another type read as not known
/// @param units   of flows, areas and the weather; station pressures stay in Pa, as the codes state them
[[nodiscard]] std::string result_table(const nlohmann::json& result, Units units = Units::metric);

}  // namespace leeward::daemon
