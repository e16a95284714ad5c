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
/// The same; without `state` a daemon on this machine is asked first, which may keep its recordings
/// elsewhere.
[[nodiscard]] Attempt<std::filesystem::path> find_recording(const std::string& recording,
                                                            const std::string& state, const Target& target);

/// What is no id could mean something else in a path.
[[nodiscard]] bool is_run_id(const std::string& text);

}  // namespace leeward::daemon
