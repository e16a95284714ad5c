#include "daemon/client/socket_path.hpp"

#include <unistd.h>

#include <cstdlib>

namespace leeward::daemon {
namespace {
std::string environment(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? std::string{} : std::string(value);
}
}  // namespace

SocketPath default_socket_path() {
  // systemd separates several folders by colons; the first is ours.
  const std::string runtime = environment("RUNTIME_DIRECTORY");
  if (!runtime.empty()) return {runtime.substr(0, runtime.find(':')) + "/api.sock", false};
  const std::string user_runtime = environment("XDG_RUNTIME_DIR");
  if (!user_runtime.empty()) return {user_runtime + "/leeward/api.sock", false};
  return {"/tmp/leeward-" + std::to_string(::geteuid()) + "/api.sock", true};
}

}  // namespace leeward::daemon
