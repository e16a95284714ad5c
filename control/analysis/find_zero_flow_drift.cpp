#include <algorithm>
#include <cmath>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/gust_estimate.hpp"
#include "control/seconds_between.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastDrift = 1.5;     // Pa
constexpr double kLeastDriftZ = 3.6;    // of what the gusts explain
constexpr double kZeroReadingU = 0.05;  // Pa
constexpr double kExplainedU = 0.5;     // of the shift that a found fan stands for

double zero_reading_u(const BaselineRecord& b) {
  return std::hypot(kZeroReadingU,
                    mean_sd_pa(gusts_in(b.blocks, b.sd_pa), seconds_between(b.begin_ns, b.end_ns)));
}

/// What a fan that was found explains of the difference: it draws the building to where the leaks feed it.
double explained_pa(const RunRecord& record, const Findings& found, int direction) {
  for (const Finding& f : found) {
    if (f.kind != FindingKind::exhaust_fan || f.direction != direction || f.passing) continue;
    const DirectionRecord& d = record.directions[static_cast<std::size_t>(direction)];
    double most = 0;
    for (const StationRecord& s : d.stations) most = std::max(most, s.flow_mean_m3_s);
    const double share = most > 0 ? std::abs(f.size) / most : 0;
    constexpr double top_pa = 60;
    constexpr double n = 0.65;
    return std::copysign(top_pa * std::pow(share, 1 / n), -f.size);
  }
  return 0;
}

void find_drift(const RunRecord& record, int index, Findings& out) {
  const DirectionRecord& d = record.directions[static_cast<std::size_t>(index)];
  if (!d.before.taken || !d.after.taken || has_finding(out, FindingKind::zero_flow_drift, index)) return;
  const double seen = d.after.mean_pa - d.before.mean_pa;
  if (!(std::abs(seen) >= kLeastDrift)) return;
  const double explained = explained_pa(record, out, index);
  const double u = std::hypot(zero_reading_u(d.before), zero_reading_u(d.after), kExplainedU * explained);
  const double left = seen - explained;
  if (!(std::abs(left) >= kLeastDrift) || !(std::abs(left) > kLeastDriftZ * u)) return;
  const double sureness = sureness_of(left / u);
  out.push_back({.kind = FindingKind::zero_flow_drift,
                 .grade = grade_of(sureness),
                 .sureness = sureness,
                 .direction = index,
                 .from_ns = d.before.end_ns,
                 .size = seen,
                 .size_u = u});
}

}  // namespace

void find_zero_flow_drift(const RunRecord& record, Findings& out) noexcept {
  for (std::size_t i = 0; i < record.directions.size(); ++i) find_drift(record, static_cast<int>(i), out);
}

}  // namespace leeward::control
