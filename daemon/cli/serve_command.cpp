#include <charconv>

#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/client/socket_path.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_rig.hpp"
#include "daemon/service/serve.hpp"
#include "daemon/watchman/watchman.hpp"

namespace leeward::daemon {
namespace {

constexpr const char* kLookUp =
    "what ran is in leeward runs as interrupted; look at the fan before starting again";

Failure failure_of_end(const ServeResult& result) {
  switch (result.end) {
    case ServeEnd::busy:
      return {exit_busy, "busy", result.text};
    case ServeEnd::no_permission:
      return {exit_no_permission, "no_permission", result.text};
    case ServeEnd::bad_config:
      return {exit_config, "bad_config", result.text};
    case ServeEnd::unwatched:
      return {exit_died, "unwatched", result.text, kLookUp};
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

/// HOST:PORT, with [..] around an IPv6 address.
bool read_listen_option(const std::string& text, ListenSpec& listen) {
  const std::size_t colon = text.rfind(':');
  if (colon == std::string::npos || colon == 0) return false;
  const char* end = text.data() + text.size();
  int port = 0;
  const auto [stopped, error] = std::from_chars(text.data() + colon + 1, end, port);
  if (error != std::errc{} || stopped != end || port < 1 || port > 65535) return false;
  std::string host = text.substr(0, colon);
  if (host.size() > 2 && host.front() == '[' && host.back() == ']') host = host.substr(1, host.size() - 2);
  listen.tcp_host = host;
  listen.tcp_port = port;
  return true;
}
}  // namespace

int run_command(const ServeCommand& command, const CommonOptions& common) {
  const std::string config =
      command.config.empty() ? default_config_directory() + "/rigs/simulated.toml" : command.config;
  auto rig = load_rig(config);
  for (const FileError& warning : rig.warnings) print_progress("warning: " + to_text(warning));
  if (!rig)
    return report_failure(common.json,
                          {exit_config, "bad_config", to_text(rig.errors), "leeward check " + config});
  if (!command.listen.empty() && !read_listen_option(command.listen, rig.value->listen))
    return report_failure(common.json, {exit_usage, "usage", "--listen takes HOST:PORT, as 0.0.0.0:8787"});
  const SocketPath socket = socket_of(common, *rig.value);
  const auto code = run_watched(*rig.value, [&](Tether& tether) {
    const ServeResult result =
        serve({*rig.value, socket.path, socket.is_shared_folder, common.json, &tether});
    return result.end == ServeEnd::done ? int{exit_done}
                                        : report_failure(common.json, failure_of_end(result));
  });
  if (code) return *code;
  return report_failure(common.json, {exit_died, "daemon_died", "the daemon died or hung", kLookUp});
}

}  // namespace leeward::daemon
