#pragma once
/// Where the daemon listens when nobody says otherwise.

#include <string>

namespace leeward::daemon {

struct SocketPath {
  std::string path;
  bool is_shared_folder = false;  ///< below a folder that anyone may write to: its owner must be checked
};

/// $RUNTIME_DIRECTORY/api.sock, else $XDG_RUNTIME_DIR/leeward/api.sock, else /tmp/leeward-UID/api.sock
[[nodiscard]] SocketPath default_socket_path();

}  // namespace leeward::daemon
