#pragma once
/// Where a recording is, for the commands that read one without a daemon.

#include <filesystem>
#include <string>

#include "daemon/cli/daemon_link.hpp"

namespace leeward::daemon {

/// @param recording  a file, or a run id
/// @param state      folder to look in, itself and its `runs`; empty: the usual folder of this user
/// Errors   no_recording, which names where was looked and what to do
[[nodiscard]] Attempt<std::filesystem::path> find_recording(const std::string& recording,
                                                            const std::string& state);

}  // namespace leeward::daemon
