#pragma once
/// How another command finds the same daemon.

#include <string>

#include "daemon/cli/commands.hpp"

namespace leeward::daemon {

/// " --socket S", " --url U --token-file F", or nothing for the usual socket.
[[nodiscard]] std::string target_options(const Target& target);

}  // namespace leeward::daemon
