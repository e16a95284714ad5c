#pragma once
/// The completion of the command line for bash.

#include <string>

#include "daemon/cli/command_outline.hpp"

namespace leeward::daemon {

/// A script that bash sources: commands, options, their words, files, and what only the program itself or the
/// daemon knows (procedures, targets, runs, asks), which it is then asked for.
[[nodiscard]] std::string bash_completion(const ProgramOutline& program);

}  // namespace leeward::daemon
