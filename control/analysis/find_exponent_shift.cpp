#include <algorithm>
#include <cmath>

#include "control/analysis/diagnosis_parts.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastExponentShift = 0.03;
constexpr double kLeastExponentZ = 4;
constexpr double kStatedCoverage = 1.96;  // of the stated 95 %

/// What happened in one of the directions alone bends its curve.
bool explained_already(const Findings& found) {
  return std::any_of(found.begin(), found.end(), [](const Finding& f) { return f.direction >= 0; });
}

}  // namespace

void find_exponent_shift(const RunResult& result, Findings& out) noexcept {
  if (result.directions.size() != 2 || explained_already(out)) return;
  const Interval& a = result.directions[0].own.n;
  const Interval& b = result.directions[1].own.n;
  if (!a.known || !b.known) return;
  const double u = 0.5 / kStatedCoverage * std::hypot(a.high - a.low, b.high - b.low);
  const double shift = a.value - b.value;
  if (!(std::abs(shift) >= kLeastExponentShift) || !(std::abs(shift) > kLeastExponentZ * u)) return;
  const double sureness = sureness_of(shift / u);
  out.push_back({.kind = FindingKind::exponent_shift,
                 .grade = grade_of(sureness),
                 .sureness = sureness,
                 .size = shift,
                 .size_u = u});
}

}  // namespace leeward::control
