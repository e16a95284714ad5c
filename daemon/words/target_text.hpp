#pragma once
/// A limit of a code or programme in words, and what a result makes of it.

#include <string>
#include <string_view>

#include "control/analysis/target_verdict.hpp"

namespace leeward::daemon {

/// What is limited, as a noun.
[[nodiscard]] std::string_view target_metric_text(control::TargetMetric metric);

/// "n50 at most 0.6 1/h"
[[nodiscard]] std::string target_limit_text(const control::TargetSpec& target);

/// One sentence: value, factor, bound, limit, rule and outcome.
[[nodiscard]] std::string target_text(const control::TargetSpec& target,
                                      const control::TargetVerdict& verdict, control::Decision decision);

}  // namespace leeward::daemon
