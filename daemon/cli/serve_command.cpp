#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/token_file.hpp"
#include "daemon/client/socket_path.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/service/serve.hpp"

namespace leeward::daemon {
namespace {

Failure failure_of_end(const ServeResult& result) {
  switch (result.end) {
    case ServeEnd::busy:
      return {exit_busy, "busy", result.text};
    case ServeEnd::no_permission:
      return {exit_no_permission, "no_permission", result.text};
    case ServeEnd::bad_config:
      return {exit_config, "bad_config", result.text};
    default:
      return {exit_io, "io", result.text};
  }
}

/// The command line wins over the rig file, the rig file over the usual place.
SocketPath socket_of(const CommonOptions& common, const RigSpec& rig) {
  if (!common.target.socket.empty()) return {common.target.socket, false};
  if (!rig.listen.socket_path.empty()) return {rig.listen.socket_path, false};
  return default_socket_path();
}
}  // namespace

int run_command(const ServeCommand& command, const CommonOptions& common) {
  const std::string config =
      command.config.empty() ? default_config_directory() + "/rigs/simulated.toml" : command.config;
  const auto rig = load_rig(config);
  for (const FileError& warning : rig.warnings) print_progress("warning: " + to_text(warning));
  if (!rig)
    return report_failure(common.json,
                          {exit_config, "bad_config", to_text(rig.errors), "leeward check " + config});
  if (rig.value->listen.tcp_port > 0)
    if (const auto token = token_from(rig.value->listen.token_file); !token)
      return report_failure(common.json, token.error());
  const SocketPath socket = socket_of(common, *rig.value);
  const ServeResult result = serve({*rig.value, socket.path, socket.is_shared_folder, common.json});
  if (result.end == ServeEnd::done) return exit_done;
  return report_failure(common.json, failure_of_end(result));
}

}  // namespace leeward::daemon
