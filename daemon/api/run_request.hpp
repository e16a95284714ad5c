#pragma once
/// The body of POST /v1/runs.

#include <string>
#include <vector>

#include "control/request.hpp"
#include "daemon/api/problem.hpp"

namespace leeward::daemon {

struct RunRequest {
  control::RunSpec run;
  bool dry_run = false;  ///< only to be checked
};

/// Body {"procedure", "building": {...}, "conditions": {...}, "direction", "attended", "dry_run"}, where
/// `building` and `conditions` have the keys of a building file.
/// @param problems  what is wrong, every field; empty when the request is good
[[nodiscard]] RunRequest read_run_request(const std::string& body, std::vector<Problem>& problems);

/// `conditions` where it is there: those that are told replace those that are given.
void read_changed_conditions(FieldReader& top, control::ConditionsSpec& conditions,
                             std::vector<Problem>& problems);

}  // namespace leeward::daemon
