#include "daemon/campaign/fault_table.hpp"

#include <cmath>
#include <cstdio>

namespace leeward::daemon {

namespace {

const StatedFigure* figure_in(const GroupSummary& group, const char* label, Figure figure,
                              std::size_t* runs) {
  for (const MeasureSummary& measure : group.measures) {
    if (measure.label != label) continue;
    *runs = measure.runs;
    for (const StatedFigure& stated : measure.figures)
      if (stated.figure == figure) return &stated;
  }
  return nullptr;
}

/// Of shares: how many runs they are.
long count_of(const GroupSummary& group, const char* label) {
  std::size_t runs = 0;
  const StatedFigure* share = figure_in(group, label, Figure::share, &runs);
  return share == nullptr ? 0 : std::lround(share->value / 100 * static_cast<double>(runs));
}

std::string time_text(const GroupSummary& group, Figure figure) {
  std::size_t runs = 0;
  const StatedFigure* time = figure_in(group, "from observable to off", figure, &runs);
  if (time == nullptr) return "-";
  char text[32];
  std::snprintf(text, sizeof text, "%.1f", time->value);
  return text;
}

std::string fault_line(const Outline& outline, const GroupSummary& group) {
  const std::string name =
      group.fault + (outline.tools.size() > 1 ? ", " + outline.tools[group.tool] : std::string());
  char text[240];
  std::snprintf(text, sizeof text, "  %-26s %6zu %8ld %7ld %6ld %6ld %6s %6s %6s %8ld %8ld %8ld %8ld\n",
                name.c_str(), group.runs, count_of(group, "the fault happened"), count_of(group, "tripped"),
                count_of(group, "tripped by a fitting name"), count_of(group, "had to stop"),
                time_text(group, Figure::p50).c_str(), time_text(group, Figure::p95).c_str(),
                time_text(group, Figure::most).c_str(), count_of(group, "off too late"),
                count_of(group, "beyond the ceiling by the fan"),
                count_of(group, "wrong and stated as valid"), count_of(group, "tripped without a fault"));
  return text;
}

}  // namespace

std::string fault_table(const Summary& summary) {
  if (summary.outline.faults.empty()) return {};
  std::string out =
      "\nfaults, numbers of runs; seconds from when it was to be seen that the fan has to stop until it was "
      "told to: p50, p95, max\n";
  char head[240];
  std::snprintf(head, sizeof head, "  %-26s %6s %8s %7s %6s %6s %6s %6s %6s %8s %8s %8s %8s\n", "fault",
                "runs", "happened", "tripped", "named", "had to", "p50 s", "p95 s", "max s", "too late",
                "beyond", "wrong", "false");
  out += head;
  for (const GroupSummary& group : summary.groups)
    if (group.scenario == Scenario::faults) out += fault_line(summary.outline, group);
  return out;
}

}  // namespace leeward::daemon
