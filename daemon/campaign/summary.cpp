#include "daemon/campaign/summary.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <tuple>

#include "daemon/campaign/checksum.hpp"
#include "daemon/config/toml_reader.hpp"
#include "sim/campaign/bootstrap.hpp"
#include "sim/campaign/percentile.hpp"
#include "sim/campaign/share_interval.hpp"
#include "sim/campaign/sign_test.hpp"

namespace leeward::daemon {

namespace {

/// The jobs of one group of houses, by number, those of the first settings first.
struct Group {
  Scenario scenario;
  double wind_m_s;
  std::vector<std::vector<std::size_t>> of_tool;
  std::size_t fault = 0;
};

std::vector<Group> groups_of(const Outline& outline, const std::vector<Job>& jobs) {
  std::vector<Group> groups;
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    const Job& job = jobs[i];
    if (groups.empty() || groups.back().scenario != job.scenario || groups.back().wind_m_s != job.wind_m_s ||
        groups.back().fault != job.fault)
      groups.push_back({job.scenario, job.wind_m_s,
                        std::vector<std::vector<std::size_t>>(outline.tools.size()), job.fault});
    groups.back().of_tool[job.tool].push_back(i);
  }
  return groups;
}

const std::vector<double>& figures_at(const Rows& rows, std::size_t job) {
  static const std::vector<double> kNothing;
  const auto found = rows.find(job);
  return found == rows.end() ? kNothing : found->second.figures;
}

/// Each measure of each group draws its own numbers, whatever else is stated.
std::uint64_t draw_seed(const Group& group, const std::string& label) {
  return checksum(std::string(scenario_name(group.scenario)) + number_text(group.wind_m_s) + label);
}

MeasureSummary measured(const Group& group, std::size_t tool, const Measure& measure, const Rows& rows) {
  std::vector<double> values;
  for (const std::size_t job : group.of_tool[tool]) {
    const double value = measure.value(figures_at(rows, job));
    if (std::isfinite(value)) values.push_back(value);
  }
  std::sort(values.begin(), values.end());
  std::vector<sim::Statistic> statistics;
  for (const Figure figure : measure.statistics)
    statistics.emplace_back([figure](std::span<const double> v) { return figure_of(figure, v); });
  const auto intervals = sim::bootstrap_intervals(values, statistics, draw_seed(group, measure.label));
  MeasureSummary out{measure.label, measure.unit, values.size(), {}};
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t i = 0; i < statistics.size(); ++i) {
    StatedFigure stated{measure.statistics[i], statistics[i](values), intervals[i].low, intervals[i].high};
    if (stated.figure == Figure::most) stated.low = stated.high = none;
    if (stated.figure == Figure::share) {
      const auto all = static_cast<double>(values.size());
      const auto interval = sim::share_interval(stated.value / 100 * all, all);
      stated.low = 100 * interval.low;
      stated.high = 100 * interval.high;
    }
    out.figures.push_back(stated);
  }
  return out;
}

Comparison compared(const Group& group, const Measure& measure, const Rows& rows) {
  Comparison out{
      .scenario = group.scenario, .wind_m_s = group.wind_m_s, .label = measure.label, .unit = measure.unit};
  std::vector<double> differences;
  for (std::size_t i = 0; i < group.of_tool[0].size(); ++i) {
    const double first = measure.value(figures_at(rows, group.of_tool[0][i]));
    const double second = measure.value(figures_at(rows, group.of_tool[1][i]));
    if (!std::isfinite(first) || !std::isfinite(second)) continue;
    differences.push_back(second - first);
    out.lower += second < first ? 1 : 0;
    out.higher += second > first ? 1 : 0;
    out.equal += second == first ? 1 : 0;
  }
  std::sort(differences.begin(), differences.end());
  const sim::Statistic median = [](std::span<const double> v) { return sim::percentile(v, 0.5); };
  const auto interval =
      sim::bootstrap_intervals(differences, {&median, 1}, draw_seed(group, "difference of " + measure.label));
  out.median_difference = median(differences);
  out.low = interval[0].low;
  out.high = interval[0].high;
  out.p_value = sim::sign_test_p(out.lower, out.higher);
  return out;
}

/// In single quotes for a shell; what is plain stays as it is.
std::string quoted(const std::string& word) {
  constexpr const char* plain = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-=,+:";
  if (!word.empty() && word.find_first_not_of(plain) == std::string::npos) return word;
  std::string out = "'";
  for (const char c : word) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

std::string replay_command(const Outline& outline, const Job& job) {
  std::string out = "leeward campaign " + quoted(outline.population) + " --only " + std::to_string(job.seed);
  if (!outline.against.empty()) out += " --against " + quoted(outline.against);
  return out;
}

/// Of two settings that do badly in the same house the worse one stays; the command runs both.
void keep_each_house_once(std::vector<WorstRun>& found) {
  std::set<std::tuple<std::uint64_t, double, std::size_t>> seen;
  std::erase_if(found, [&seen](const WorstRun& run) {
    return !seen.emplace(run.job.seed, run.job.wind_m_s, run.job.fault).second;
  });
}

void add_worst(const Outline& outline, Scenario scenario, const std::vector<Job>& jobs, const Rows& rows,
               std::vector<WorstRun>& worst) {
  const Measure badness = badness_of(outline, scenario);
  std::vector<WorstRun> found;
  for (std::size_t i = 0; i < jobs.size(); ++i) {
    if (jobs[i].scenario != scenario) continue;
    const double value = badness.value(figures_at(rows, i));
    if (std::isfinite(value)) found.push_back({jobs[i], badness.label, badness.unit, value, {}});
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const WorstRun& a, const WorstRun& b) { return a.value > b.value; });
  keep_each_house_once(found);
  if (found.size() > kWorstRuns) found.resize(kWorstRuns);
  for (WorstRun& run : found) {
    run.command = replay_command(outline, run.job);
    worst.push_back(std::move(run));
  }
}

}  // namespace

Summary summarize(const Outline& outline, const Rows& rows) {
  Summary summary{outline, {}, {}, {}};
  const std::vector<Job> jobs = jobs_of(outline);
  for (const Group& group : groups_of(outline, jobs)) {
    const std::vector<Measure> measures = measures_of(outline, group.scenario);
    for (std::size_t tool = 0; tool < group.of_tool.size(); ++tool) {
      GroupSummary out{group.scenario, group.wind_m_s, tool, group.of_tool[tool].size(), {}, {}};
      if (group.scenario == Scenario::faults) out.fault = outline.faults[group.fault];
      for (const Measure& measure : measures) {
        MeasureSummary stated = measured(group, tool, measure, rows);
        if (stated.runs > 0) out.measures.push_back(std::move(stated));
      }
      summary.groups.push_back(std::move(out));
    }
    if (group.of_tool.size() < 2) continue;
    for (const Measure& measure : measures)
      if (measure.is_compared) summary.comparisons.push_back(compared(group, measure, rows));
  }
  for (const Scenario scenario : {Scenario::steps, Scenario::gusts, Scenario::tests, Scenario::faults})
    add_worst(outline, scenario, jobs, rows, summary.worst);
  return summary;
}

std::string wind_text(double wind_m_s) {
  return wind_m_s > 0 ? number_text(wind_m_s) + " m/s" : std::string("calm air");
}

}  // namespace leeward::daemon
