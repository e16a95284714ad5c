#pragma once
/// A row of bars for a terminal.

#include <string>
#include <vector>

namespace leeward::daemon {

/// One bar a value, from 0 to the largest; values that are not finite or below 0 are drawn as 0.
[[nodiscard]] std::string sparkline(const std::vector<double>& values);

}  // namespace leeward::daemon
