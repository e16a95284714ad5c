#include <cmath>
#include <cstdio>

#include "daemon/campaign/fault_table.hpp"
#include "daemon/campaign/summary_faces.hpp"

namespace leeward::daemon {

namespace {

std::string three_digits(double value) {
  if (!std::isfinite(value)) return "-";
  char text[32];
  const double size = std::abs(value);
  const int decimals = size >= 100 || size == 0 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : size >= 0.1 ? 3 : 4;
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return text;
}

std::string with_unit(const std::string& number, const std::string& unit) {
  return unit.empty() ? number : number + " " + unit;
}

/// Counted in letters: units and names may hold more bytes than that.
std::string filled_up(std::string text, std::size_t width) {
  std::size_t letters = 0;
  for (const char c : text) letters += (static_cast<unsigned char>(c) & 0xc0U) != 0x80U ? 1 : 0;
  if (letters < width) text.append(width - letters, ' ');
  return text;
}

std::string interval_text(double low, double high) {
  return std::isfinite(low) && std::isfinite(high)
             ? " [" + three_digits(low) + ", " + three_digits(high) + "]"
             : std::string();
}

std::string group_title(const Summary& summary, Scenario scenario, double wind_m_s) {
  const Outline& o = summary.outline;
  std::string out = scenario_name(scenario);
  if (scenario == Scenario::gusts) out += " at " + three_digits(o.gust_target_pa) + " Pa";
  return out + ", " + wind_text(wind_m_s);
}

std::string measure_line(const MeasureSummary& measure) {
  constexpr std::size_t label_width = 46;
  constexpr std::size_t figure_width = 34;
  std::string out = "  " + filled_up(measure.label, label_width);
  for (const StatedFigure& figure : measure.figures)
    out += filled_up(std::string(figure_name(figure.figure)) + " " +
                         with_unit(three_digits(figure.value), measure.unit) +
                         interval_text(figure.low, figure.high),
                     figure_width);
  out.erase(out.find_last_not_of(' ') + 1);
  return out + "\n";
}

std::string p_text(double p) {
  char text[32];
  std::snprintf(text, sizeof text, p < 0.0001 ? "%.0e" : "%.4f", p);
  return text;
}

std::string comparison_text(const Summary& summary) {
  if (summary.comparisons.empty()) return {};
  const Outline& o = summary.outline;
  std::string out = "\n" + o.tools[1] + " less " + o.tools[0] +
                    ", house by house (median, 95 % bootstrap interval; p of the two-sided sign test)\n";
  for (const Comparison& c : summary.comparisons) {
    out +=
        "  " + filled_up(group_title(summary, c.scenario, c.wind_m_s) + ": " + c.label, 64) +
        filled_up(with_unit(three_digits(c.median_difference), c.unit) + interval_text(c.low, c.high), 34) +
        "lower in " + std::to_string(c.lower) + ", higher in " + std::to_string(c.higher) + ", equal in " +
        std::to_string(c.equal) + " houses, p " + p_text(c.p_value) + "\n";
  }
  return out;
}

std::string worst_text(const Summary& summary) {
  std::string out;
  const WorstRun* last = nullptr;
  for (const WorstRun& run : summary.worst) {
    if (last == nullptr || last->job.scenario != run.job.scenario)
      out += "\nworst of " + std::string(scenario_name(run.job.scenario)) + ", by " + run.label + "\n";
    const std::string where = run.job.scenario == Scenario::faults ? summary.outline.faults[run.job.fault]
                                                                   : wind_text(run.job.wind_m_s);
    const std::string what = with_unit(three_digits(run.value), run.unit) + ", " + where + ", " +
                             summary.outline.tools[run.job.tool];
    out += "  " + filled_up(what, 46) + run.command + "\n";
    last = &run;
  }
  return out;
}

}  // namespace

std::string summary_text(const Summary& summary) {
  const Outline& o = summary.outline;
  std::string out = "campaign " + o.name + ": " + std::to_string(o.runs) + " houses, seeds " +
                    std::to_string(o.seed) + " to " +
                    std::to_string(o.seed + static_cast<std::uint64_t>(o.runs) - 1) +
                    "; in brackets 95 % intervals over houses: bootstrap, of shares score\n";
  for (const GroupSummary& group : summary.groups) {
    if (group.scenario == Scenario::faults) continue;
    out += "\n" + group_title(summary, group.scenario, group.wind_m_s) + ", settings " + o.tools[group.tool] +
           ", " + std::to_string(group.runs) + " runs\n";
    for (const MeasureSummary& measure : group.measures) out += measure_line(measure);
  }
  return out + fault_table(summary) + comparison_text(summary) + worst_text(summary);
}

}  // namespace leeward::daemon
