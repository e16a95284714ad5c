#pragma once
/// What went wrong in a test, found in its own record.

#include "control/analysis/finding.hpp"
#include "control/analysis/run_result.hpp"

namespace leeward::control {

/// @param result  of the same record
///
/// Shape    pure; no allocation; under 3 ms.
/// Limits   what is found at which wind, and how seldom it is raised without a ground, is measured by
///          tests/campaign/diagnosis_campaign.cpp. One change a direction: where several things happen, the
///          one that explains most is named.
[[nodiscard]] Findings diagnose(const RunRecord& record, const RunResult& result) noexcept;

}  // namespace leeward::control
