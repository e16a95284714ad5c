#include "control/analysis/diagnosis.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/kept_parts.hpp"

namespace leeward::control {

double sureness_of(double z) noexcept { return std::erf(std::abs(z) / std::numbers::sqrt2); }

bool has_finding(const Findings& findings, FindingKind kind, int direction) noexcept {
  return std::any_of(findings.begin(), findings.end(), [&](const Finding& f) {
    return f.kind == kind && (f.direction == direction || f.direction < 0);
  });
}

bool has_change(const Findings& findings, int direction) noexcept {
  return has_finding(findings, FindingKind::opening, direction) ||
         has_finding(findings, FindingKind::seal_off, direction) ||
         has_finding(findings, FindingKind::exhaust_fan, direction) ||
         has_finding(findings, FindingKind::zero_flow_drift, direction);
}

namespace {

Findings ask_all(const RunRecord& record, const RunResult& result) {
  Findings found;
  find_wrong_inputs(record, found);
  find_lost_readings(record, found);
  const LargeCandidates large = large_candidates(record);
  find_large_changes(large, true, found);
  find_kinked_tube(record, 3, found);
  find_wrong_restriction(record, found);
  find_large_changes(large, false, found);
  find_changes(record, result, found);
  find_kinked_tube(record, 2, found);
  find_zero_flow_drift(record, found);
  find_unshared_wind(record, found);
  find_exponent_shift(result, found);
  return found;
}

}  // namespace

Findings diagnose(const RunRecord& record, const RunResult& result) noexcept {
  if (!has_parts(record)) return ask_all(record, result);
  Findings found = ask_all(last_part(record), last_part(result));
  for (Finding& finding : found) {
    const auto direction = static_cast<std::size_t>(finding.direction);
    if (finding.station >= 0 && finding.direction >= 0 && direction < record.directions.size())
      finding.station += stations_before_last_part(record.directions[direction]);
  }
  return found;
}

}  // namespace leeward::control
