#include "daemon/document/budget_entries.hpp"

#include <algorithm>
#include <cmath>

#include "daemon/report/assumed_exponent.hpp"
#include "daemon/report/cautions.hpp"

namespace leeward::daemon {

std::vector<BudgetEntry> budget_entries(const control::Budget& b, bool calibration_stated,
                                        bool exponent_assumed) {
  std::vector<BudgetEntry> out = {
      {"scatter of the stations", b.scatter},
      {"zero-flow pressure", b.baseline},
      {calibration_stated ? "fan calibration" : "fan calibration (not stated)", b.calibration},
      {b.gauge > 0 ? "scale of the pressure gauge" : "scale of the pressure gauge (not stated)", b.gauge},
      {"air density", b.density},
      {"wind and stack on the leaks", b.wind},
      {exponent_assumed ? "exponent assumed" : "way to the reference pressure", b.exponent}};
  for (BudgetEntry& e : out)
    if (!std::isfinite(e.relative_u) || e.relative_u < 0) e.relative_u = 0;
  std::stable_sort(out.begin(), out.end(),
                   [](const BudgetEntry& a, const BudgetEntry& c) { return a.relative_u > c.relative_u; });
  return out;
}

std::vector<BudgetEntry> budget_entries(const ReportData& data) {
  return budget_entries(data.result.budget, calibration_is_stated(data.record),
                        exponent_assumed(data.result, data.record.procedure));
}

}  // namespace leeward::daemon
