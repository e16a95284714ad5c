#pragma once
/// The limits of codes and programmes that a result is held against.

#include <vector>

#include <nlohmann/json.hpp>

#include "control/analysis/target_verdict.hpp"

namespace leeward::daemon {

/// What the files say of one target.
[[nodiscard]] nlohmann::json target_json(const control::TargetSpec& target);

/// One object a target: what it says, with value, compared, decision and passed (null where the figure that
/// it limits is not known).
/// @param result  as result_json() gives it, also after a way through the network
[[nodiscard]] nlohmann::json targets_json(const std::vector<control::TargetSpec>& targets,
                                          const nlohmann::json& result, control::Decision decision);

}  // namespace leeward::daemon
