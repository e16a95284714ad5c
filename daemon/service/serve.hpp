#pragma once
/// `leeward serve`: the daemon, from its rig file to its orderly end.

#include <string>

#include "daemon/config/rig_spec.hpp"
#include "daemon/watchman/tether.hpp"

namespace leeward::daemon {

struct ServeOptions {
  RigSpec rig;
  std::string socket_path;
  bool must_own_folder = false;  ///< the socket's folder lies where anyone may make one
  bool json = false;             ///< says ready as an object
  Tether* tether = nullptr;      ///< to the watchman; null: nobody watches
};

enum class ServeEnd : std::uint8_t {
  done,           ///< SIGTERM or SIGINT: fan off, recording closed
  busy,           ///< another daemon has the socket, the device or the recordings
  io,             ///< cannot listen or record
  no_permission,  ///< folder or token file is not safe
  bad_config,
  unwatched  ///< the watchman has gone: fan off, recording closed
};

struct ServeResult {
  ServeEnd end = ServeEnd::done;
  std::string text{};
};

/// Prints `ready SOCKET`, or {"ready": true, "socket": ..., "recordings": FOLDER} in one line, on standard
/// output once it listens and has had a first sample, or after 2 s. SIGTERM and SIGINT end it within 5 s.
[[nodiscard]] ServeResult serve(const ServeOptions& options);

}  // namespace leeward::daemon
