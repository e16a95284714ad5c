#pragma once
/// From the start of a run to its result on the terminal.

#include <string>
#include <vector>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/result_face.hpp"

namespace leeward::daemon {

/// Follows the run to its end and shows what came of it.
/// @param targets  nullopt: those that the building of the result names
/// @returns the exit code
[[nodiscard]] int follow_and_show(const CommonOptions& common, const HttpClient& client,
                                  const std::string& run_id, const FaceOptions& face,
                                  std::optional<std::vector<control::TargetSpec>> targets);

}  // namespace leeward::daemon
