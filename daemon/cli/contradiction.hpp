#pragma once
/// Options that cannot be followed together. Dropping one without a word would leave a person with another
/// answer than asked for.

#include <string>

#include "daemon/cli/commands.hpp"

namespace leeward::daemon {

/// @returns what is wrong and what to do; empty where nothing is
[[nodiscard]] std::string contradiction(const Command& command, const CommonOptions& common);

/// Name of the option for a key of the table `conditions`: --indoor-c for indoor_c.
[[nodiscard]] std::string condition_option(std::string key);

}  // namespace leeward::daemon
