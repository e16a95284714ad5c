#include "daemon/campaign/outline.hpp"

#include <nlohmann/json.hpp>

#include "daemon/campaign/checksum.hpp"
#include "daemon/config/toml_reader.hpp"
#include "daemon/words/json.hpp"

namespace leeward::daemon {

namespace {

template <class List>
std::vector<double> listed(const List& list) {
  return {list.begin(), list.end()};
}

void add_jobs(std::vector<Job>& jobs, const Outline& outline, Scenario scenario, double wind_m_s,
              std::size_t fault = 0) {
  for (int house = 0; house < outline.runs; ++house)
    for (std::size_t tool = 0; tool < outline.tools.size(); ++tool)
      jobs.push_back({scenario, wind_m_s, outline.seed + static_cast<std::uint64_t>(house), tool, fault});
}

constexpr const char* kGustColumns[] = {"left_out",     "tripped",         "mean_demand_frac",
                                        "rms_pa",       "constant_rms_pa", "ratio",
                                        "index_half_s", "index_1_s",       "index_2_s"};
constexpr const char* kTestColumns[] = {"end",          "minutes", "q50_error_frac", "q50_half_frac",
                                        "q50_held",     "n_error", "n_half",         "n_held",
                                        "choice_right", "changes", "excess_changes"};
constexpr const char* kFaultColumns[] = {"drawn_wind_m_s", "happened",      "began_in_phase", "began_at_s",
                                         "size",           "end",           "trip_cause",     "trip_named",
                                         "demanded",       "to_safe_s",     "beyond_s",       "false_trip",
                                         "q50_error_frac", "q50_half_frac", "wrong_as_valid"};
constexpr const char* kStepColumns[] = {"settling", "overshoot", "settled", "floor", "ratio"};
constexpr const char* kStepUnits[] = {"_s", "_pa", "", "_s", ""};

}  // namespace

const char* scenario_name(Scenario scenario) {
  if (scenario == Scenario::steps) return "steps";
  if (scenario == Scenario::faults) return "faults";
  return scenario == Scenario::gusts ? "gusts" : "tests";
}

Outline outline_of(const sim::CampaignSpec& spec, const std::string& program, int runs, std::uint64_t seed) {
  Outline outline;
  outline.name = spec.name.view();
  outline.seed = seed;
  outline.runs = runs;
  for (const sim::NamedTool& tool : spec.tools) outline.tools.emplace_back(tool.name.view());
  if (spec.has_steps) outline.step_targets_pa = listed(spec.steps.targets_pa);
  outline.step_each_s = spec.steps.each_s;
  outline.gust_target_pa = spec.gusts.target_pa;
  if (spec.has_gusts) outline.gust_winds_m_s = listed(spec.gust_winds_m_s);
  if (spec.has_tests) outline.test_winds_m_s = listed(spec.test_winds_m_s);
  if (spec.has_faults)
    for (const sim::FaultKind kind : spec.faults.kinds) outline.faults.emplace_back(sim::fault_name(kind));
  outline.fingerprint = hex_text(
      checksum(json_text(to_json_value(spec)) + program + std::to_string(runs) + "/" + std::to_string(seed)));
  return outline;
}

std::vector<Job> jobs_of(const Outline& outline) {
  std::vector<Job> jobs;
  if (!outline.step_targets_pa.empty()) add_jobs(jobs, outline, Scenario::steps, 0);
  for (const double wind : outline.gust_winds_m_s) add_jobs(jobs, outline, Scenario::gusts, wind);
  for (const double wind : outline.test_winds_m_s) add_jobs(jobs, outline, Scenario::tests, wind);
  for (std::size_t i = 0; i < outline.faults.size(); ++i) add_jobs(jobs, outline, Scenario::faults, 0, i);
  return jobs;
}

std::string step_label(const Outline& outline, std::size_t target) {
  const double from = target == 0 ? 0 : outline.step_targets_pa[target - 1];
  return number_text(from) + " to " + number_text(outline.step_targets_pa[target]) + " Pa";
}

std::vector<RunColumn> columns_of(const Outline& outline, Scenario scenario) {
  std::vector<RunColumn> columns;
  if (scenario == Scenario::gusts)
    for (const char* name : kGustColumns) columns.push_back({name});
  if (scenario == Scenario::tests)
    for (const char* name : kTestColumns) columns.push_back({name});
  if (scenario == Scenario::faults)
    for (const char* name : kFaultColumns) columns.push_back({name});
  if (scenario != Scenario::steps) return columns;
  columns.push_back({"tripped"});
  for (std::size_t i = 0; i < outline.step_targets_pa.size(); ++i)
    for (std::size_t k = 0; k < std::size(kStepColumns); ++k)
      columns.push_back({"step_" + std::to_string(i + 1) + "_" + kStepColumns[k] + kStepUnits[k]});
  for (const char* name : kDriveColumns) columns.push_back({name});
  return columns;
}

nlohmann::json outline_json(const Outline& o) {
  return {{"fingerprint", o.fingerprint},
          {"population", o.population},
          {"against", o.against},
          {"name", o.name},
          {"seed", o.seed},
          {"runs", o.runs},
          {"settings", o.tools},
          {"step_targets_pa", o.step_targets_pa},
          {"step_each_s", o.step_each_s},
          {"gust_target_pa", o.gust_target_pa},
          {"gust_winds_m_s", o.gust_winds_m_s},
          {"test_winds_m_s", o.test_winds_m_s},
          {"faults", o.faults}};
}

control::Result<Outline> outline_from_json(const nlohmann::json& json) {
  try {
    Outline o;
    json.at("fingerprint").get_to(o.fingerprint);
    json.at("population").get_to(o.population);
    json.at("against").get_to(o.against);
    json.at("name").get_to(o.name);
    json.at("seed").get_to(o.seed);
    json.at("runs").get_to(o.runs);
    json.at("settings").get_to(o.tools);
    json.at("step_targets_pa").get_to(o.step_targets_pa);
    json.at("step_each_s").get_to(o.step_each_s);
    json.at("gust_target_pa").get_to(o.gust_target_pa);
    json.at("gust_winds_m_s").get_to(o.gust_winds_m_s);
    json.at("test_winds_m_s").get_to(o.test_winds_m_s);
    json.at("faults").get_to(o.faults);
    return o;
  } catch (const nlohmann::json::exception& error) {
    return tl::unexpected(control::Error{control::Errc::wrong_type, "outline", error.what()});
  }
}

}  // namespace leeward::daemon
