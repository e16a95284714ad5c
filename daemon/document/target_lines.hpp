#pragma once
/// What the limits named by the building's file make of the result.

#include <string>
#include <vector>

#include <nlohmann/json.hpp>

namespace leeward::daemon {

struct TargetLine {
  std::string title;
  std::string text;  ///< title, value, limit, rule, outcome
  bool judged = false;
  bool passed = false;
};

/// By the simple rule: the value against the limit. A target that there is no file for is listed as not
/// judged.
/// @param result  as result_json() gives it
[[nodiscard]] std::vector<TargetLine> target_lines(const nlohmann::json& result);

}  // namespace leeward::daemon
