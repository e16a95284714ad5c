#pragma once
/// What this program calls itself, in recordings, results and on the command line.

#include <string_view>

namespace leeward::daemon {

inline constexpr std::string_view kVersion = "0.1.0";

}  // namespace leeward::daemon
