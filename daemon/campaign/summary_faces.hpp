#pragma once
/// A campaign's figures as text, as JSON and as a table of runs.

#include <string>

#include <nlohmann/json_fwd.hpp>

#include "daemon/campaign/summary.hpp"

namespace leeward::daemon {

/// Tables with units on every number, for a terminal.
[[nodiscard]] std::string summary_text(const Summary& summary);

/// Keys without a value (no interval, no runs that count) are null.
[[nodiscard]] nlohmann::json summary_json(const Summary& summary);

/// One line a run, in the order of the jobs; a figure that a scenario does not have is empty.
[[nodiscard]] std::string runs_csv(const Outline& outline, const Rows& rows);

}  // namespace leeward::daemon
