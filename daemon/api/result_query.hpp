#pragma once
/// What the query of a result asks for beside the result: GET
/// /v1/runs/{id}/result?target=a,b&decision=guarded &units=ip.

#include <string>
#include <vector>

#include "control/analysis/target_verdict.hpp"
#include "daemon/api/problem.hpp"

namespace leeward::daemon {

struct ResultQuery {
  std::vector<std::string> targets;  ///< empty: those that the building names
  control::Decision decision = control::Decision::simple;
  bool ip = false;  ///< an object `ip` with the figures in inch-pound units
};

/// @param problems  422 for a key that is not known or a value that is not allowed
[[nodiscard]] ResultQuery read_result_query(const std::string& query, std::vector<Problem>& problems);

/// Adds `targets` and `ip` to a result. A target of the building that there is not any more is left out.
/// @param problems  422 for a target of the query that there is not
void add_asked(nlohmann::json& result, const ResultQuery& query, std::vector<Problem>& problems);

}  // namespace leeward::daemon
