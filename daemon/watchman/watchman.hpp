#pragma once
/// The small parent process of the daemon: looks whether it lives, and stops the fan when it does not.

#include <functional>
#include <optional>

#include "daemon/config/rig_spec.hpp"
#include "daemon/watchman/tether.hpp"

namespace leeward::daemon {

/// Runs `daemon` in a child process and watches it until it ends. Must be called before any thread is
/// started. SIGTERM, SIGINT and SIGHUP are handed on.
///
/// A daemon that died or hung is not started again here: whoever started the watchman does that (systemd, a
/// person), so that the rig file is read anew, nothing of the broken process is left, and there is one place
/// that ends a loop of crashes.
///
/// @returns in the parent, the daemon's exit code, nothing when it died or was killed for hanging; in the
///          child, what `daemon` returned
[[nodiscard]] std::optional<int> run_watched(const RigSpec& rig, const std::function<int(Tether&)>& daemon);

}  // namespace leeward::daemon
