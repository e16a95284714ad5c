#pragma once
/// What a reader of the result must know beside its figures, in sentences.

#include <string>
#include <vector>

#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"
#include "control/phase.hpp"

namespace leeward::daemon {

/// Whether every station was taken with a restriction whose file says how uncertain it is.
[[nodiscard]] bool calibration_is_stated(const control::RunRecord& record);

[[nodiscard]] std::vector<std::string> cautions_of(control::RunState state, const control::RunRecord& record,
                                                   const control::RunResult& result);

}  // namespace leeward::daemon
