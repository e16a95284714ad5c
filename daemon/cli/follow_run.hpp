#pragma once

#include <string>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_follower.hpp"

namespace leeward::daemon {

/// Says what happens until it is over or the daemon is gone. Ctrl-C stops it and goes on following.
/// @returns the state in which it ended
[[nodiscard]] Attempt<std::string> follow_run(const HttpClient& client, const std::string& run_id,
                                              const Target& target, RunFollower::Of of);

}  // namespace leeward::daemon
