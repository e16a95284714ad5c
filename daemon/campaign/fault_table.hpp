#pragma once
/// Faults as a table, one line a kind.

#include <string>

#include "daemon/campaign/summary.hpp"

namespace leeward::daemon {

/// Empty where the campaign has no faults.
[[nodiscard]] std::string fault_table(const Summary& summary);

}  // namespace leeward::daemon
