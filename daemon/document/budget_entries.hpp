#pragma once
/// The causes in the uncertainty budget, named for people. A new cause is one more line in the .cpp.

#include <string>
#include <vector>

#include "control/analysis/run_result.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

struct BudgetEntry {
  std::string name;
  double relative_u = 0;
};

/// The causes, largest first.
/// @param calibration_stated  false: the fan file states no uncertainty, and the budget has none of it
/// @param exponent_assumed    false: that cause is the way from the stations to the reference pressure
[[nodiscard]] std::vector<BudgetEntry> budget_entries(const control::Budget& budget, bool calibration_stated,
                                                      bool exponent_assumed);
/// As above, of a run.
[[nodiscard]] std::vector<BudgetEntry> budget_entries(const ReportData& data);

}  // namespace leeward::daemon
