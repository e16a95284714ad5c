#pragma once
/// Reads the command line. The option parser itself stays inside the one .cpp and the headers that only it
/// includes.

#include <optional>
#include <string>
#include <vector>

#include "daemon/cli/commands.hpp"

namespace leeward::daemon {

struct ParsedLine {
  CommonOptions common;
  std::optional<Command> command;  ///< none: only `help` or `error` is to be shown
  std::string help;                ///< was asked for: exit 0
  std::string error;               ///< exit 64
  std::string hint{};              ///< what to do about the error
};

/// @param arguments  without the program's name
[[nodiscard]] ParsedLine parse_line(const std::vector<std::string>& arguments);

/// Every subcommand there is, for "did you mean".
[[nodiscard]] std::vector<std::string> subcommand_names();

}  // namespace leeward::daemon
