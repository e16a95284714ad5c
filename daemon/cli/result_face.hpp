#pragma once
/// How a result is shown: units, and the limits that it is held against.

#include <nlohmann/json.hpp>

#include "control/analysis/target_spec.hpp"
#include "daemon/cli/daemon_link.hpp"

namespace leeward::daemon {

/// The targets that the command line names, else those that the building names.
/// Errors   usage for one that the command line names and that there is not
[[nodiscard]] Attempt<std::vector<control::TargetSpec>> chosen_targets(const FaceOptions& face,
                                                                       const nlohmann::json& building);

/// Prints a result as JSON or as a table, with what `face` asks for.
void show_result(nlohmann::json result, const std::vector<control::TargetSpec>& targets,
                 const FaceOptions& face, bool json);

}  // namespace leeward::daemon
