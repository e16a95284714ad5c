#include <exception>
#include <string>
#include <variant>
#include <vector>

#include <nlohmann/json.hpp>

#include "daemon/cli/cli_options.hpp"
#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {

int run_command(const VersionCommand&, const CommonOptions& common) {
  if (common.json) {
    print_json({{"name", "leeward"}, {"version", kVersion}});
  } else {
    print_text("leeward " + std::string(kVersion));
  }
  return exit_done;
}

int run_cli(int argc, const char* const* argv) {
  const ParsedLine line = parse_line({argv + 1, argv + std::max(argc, 1)});
  if (!line.help.empty()) {
    print_text(line.help);
    return exit_done;
  }
  if (!line.command) return report_failure(line.common.json, {exit_usage, "usage", line.error, line.hint});
  try {
    return std::visit([&line](const auto& command) { return run_command(command, line.common); },
                      *line.command);
  } catch (const std::exception& error) {
    // Nothing here is meant to throw; should something do so all the same, the user gets its words.
    return report_failure(line.common.json, {exit_failed, "internal", error.what()});
  }
}

}  // namespace leeward::daemon
