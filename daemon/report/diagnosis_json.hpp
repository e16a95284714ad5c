#pragma once
/// What went wrong in the test, as part of a result.

#include <nlohmann/json.hpp>

#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"

namespace leeward::daemon {

/// An array with an object a finding; empty where nothing was found.
[[nodiscard]] nlohmann::json diagnosis_json(const control::RunRecord& record,
                                            const control::RunResult& result);

}  // namespace leeward::daemon
