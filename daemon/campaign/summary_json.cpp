#include <cmath>

#include <nlohmann/json.hpp>

#include "daemon/campaign/summary_faces.hpp"

namespace leeward::daemon {

namespace {

nlohmann::json finite_or_null(double value) {
  return std::isfinite(value) ? nlohmann::json(value) : nlohmann::json();
}

nlohmann::json measure_json(const MeasureSummary& measure) {
  nlohmann::json out{{"measure", measure.label}, {"unit", measure.unit}, {"runs", measure.runs}};
  for (const StatedFigure& figure : measure.figures)
    out["figures"][figure_name(figure.figure)] = {{"value", finite_or_null(figure.value)},
                                                  {"low", finite_or_null(figure.low)},
                                                  {"high", finite_or_null(figure.high)}};
  return out;
}

/// The wind of a run with a fault is drawn: its column tells it.
void name_fault(nlohmann::json& entry, const std::string& fault) {
  entry["fault"] = fault;
  entry["wind_m_s"] = nullptr;
}

nlohmann::json place_json(const Outline& outline, const Job& job) {
  nlohmann::json out{{"scenario", scenario_name(job.scenario)},
                     {"wind_m_s", job.wind_m_s},
                     {"settings", outline.tools[job.tool]},
                     {"seed", job.seed}};
  if (job.scenario == Scenario::faults) name_fault(out, outline.faults[job.fault]);
  return out;
}

}  // namespace

nlohmann::json summary_json(const Summary& summary) {
  const Outline& o = summary.outline;
  nlohmann::json out{{"campaign", o.name},
                     {"population", o.population},
                     {"seed", o.seed},
                     {"houses", o.runs},
                     {"settings", o.tools},
                     {"interval", "95 % over houses: percentile bootstrap, of shares the score interval"},
                     {"groups", nlohmann::json::array()},
                     {"comparisons", nlohmann::json::array()},
                     {"worst", nlohmann::json::array()}};
  for (const GroupSummary& group : summary.groups) {
    nlohmann::json entry{{"scenario", scenario_name(group.scenario)},
                         {"wind_m_s", group.wind_m_s},
                         {"settings", o.tools[group.tool]},
                         {"runs", group.runs},
                         {"measures", nlohmann::json::array()}};
    if (!group.fault.empty()) name_fault(entry, group.fault);
    for (const MeasureSummary& measure : group.measures) entry["measures"].push_back(measure_json(measure));
    out["groups"].push_back(std::move(entry));
  }
  for (const Comparison& c : summary.comparisons)
    out["comparisons"].push_back({{"scenario", scenario_name(c.scenario)},
                                  {"wind_m_s", c.wind_m_s},
                                  {"measure", c.label},
                                  {"unit", c.unit},
                                  {"first", o.tools[0]},
                                  {"second", o.tools[1]},
                                  {"median_difference", finite_or_null(c.median_difference)},
                                  {"low", finite_or_null(c.low)},
                                  {"high", finite_or_null(c.high)},
                                  {"lower", c.lower},
                                  {"higher", c.higher},
                                  {"equal", c.equal},
                                  {"test", "sign test, two-sided"},
                                  {"p", c.p_value}});
  for (const WorstRun& run : summary.worst) {
    nlohmann::json entry = place_json(o, run.job);
    entry["measure"] = run.label;
    entry["unit"] = run.unit;
    entry["value"] = run.value;
    entry["command"] = run.command;
    out["worst"].push_back(std::move(entry));
  }
  return out;
}

}  // namespace leeward::daemon
