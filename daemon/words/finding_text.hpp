#pragma once
/// What the diagnosis found, in words: what was seen with its figures, how sure it is, what to do.

#include <string>

#include "control/analysis/finding.hpp"
#include "control/analysis/run_record.hpp"

namespace leeward::daemon {

/// Two words for a heading: "An opening".
[[nodiscard]] std::string finding_title(const control::Finding& finding);

/// One or two sentences of what was seen.
[[nodiscard]] std::string finding_text(const control::Finding& finding, const control::RunRecord& record);

/// What to do about it.
[[nodiscard]] std::string finding_advice(const control::Finding& finding);

/// "certain", "likely (93 %)"
[[nodiscard]] std::string sureness_text(const control::Finding& finding);

}  // namespace leeward::daemon
