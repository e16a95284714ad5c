#include <algorithm>
#include <cmath>

#include "daemon/campaign/summary_faces.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

namespace {

std::string csv_cell(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
  return out + "\"";
}

}  // namespace

std::string runs_csv(const Outline& outline, const Rows& rows) {
  constexpr Scenario scenarios[] = {Scenario::steps, Scenario::gusts, Scenario::tests, Scenario::faults};
  const std::vector<Job> jobs = jobs_of(outline);
  std::vector<std::string> names;
  std::vector<std::vector<std::size_t>> places(std::size(scenarios));
  std::string out = "scenario,wind_m_s,settings,seed";
  for (std::size_t s = 0; s < std::size(scenarios); ++s) {
    const bool is_run =
        std::any_of(jobs.begin(), jobs.end(), [&](const Job& job) { return job.scenario == scenarios[s]; });
    if (!is_run) continue;
    for (const RunColumn& column : columns_of(outline, scenarios[s])) {
      const auto known = std::find(names.begin(), names.end(), column.name);
      places[s].push_back(static_cast<std::size_t>(known - names.begin()));
      if (known == names.end()) names.push_back(column.name);
    }
  }
  const bool has_faults = !outline.faults.empty();
  if (has_faults) out += ",fault";
  for (const std::string& name : names) out += "," + name;
  out += "\n";
  for (const auto& [number, row] : rows) {
    const Job& job = jobs[number];
    const std::vector<std::size_t>& place = places[static_cast<std::size_t>(job.scenario)];
    std::vector<std::string> cells(names.size());
    for (std::size_t i = 0; i < std::min(place.size(), row.figures.size()); ++i)
      if (std::isfinite(row.figures[i])) cells[place[i]] = number_text(row.figures[i]);
    out += std::string(scenario_name(job.scenario)) + "," + number_text(job.wind_m_s) + "," +
           csv_cell(outline.tools[job.tool]) + "," + std::to_string(job.seed);
    if (has_faults) out += job.scenario == Scenario::faults ? "," + outline.faults[job.fault] : ",";
    for (const std::string& cell : cells) out += "," + cell;
    out += "\n";
  }
  return out;
}

}  // namespace leeward::daemon
