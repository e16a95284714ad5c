#include "daemon/config/load_targets.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <span>
#include <system_error>

#include "control/analysis/target_verdict.hpp"
#include "daemon/config/near_key.hpp"
#include "daemon/config/parse_toml.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {
namespace {

using control::TargetMetric;
using control::TargetSpec;
using control::TargetUnit;
using Targets = std::vector<TargetSpec>;

constexpr std::array kTargetMetrics =
    std::to_array<Choice<TargetMetric>>({{"n50", TargetMetric::n50},
                                         {"qe50", TargetMetric::qe50},
                                         {"qf50", TargetMetric::qf50},
                                         {"qe75", TargetMetric::qe75},
                                         {"qe4", TargetMetric::qe4},
                                         {"q4_loss", TargetMetric::q4_loss},
                                         {"normalized_area", TargetMetric::normalized_area}});
constexpr std::array kTargetUnits = std::to_array<Choice<TargetUnit>>({{"1/h", TargetUnit::per_h},
                                                                       {"m3/(h m2)", TargetUnit::m3_h_m2},
                                                                       {"cfm/ft2", TargetUnit::cfm_ft2},
                                                                       {"L/(s m2)", TargetUnit::l_s_m2},
                                                                       {"cm2/m2", TargetUnit::cm2_m2}});
constexpr std::array kTargetMarks = std::to_array<Choice<control::Mark>>(
    {{"source", control::Mark::source}, {"memory", control::Mark::memory}});
constexpr NumberRange kTargetLimit{0.001, 1000, ""};
constexpr NumberRange kOnePointFactor{1, 2, ""};
constexpr NumberRange kUncertaintyAbove{0.001, 1, "of the figure"};
constexpr std::size_t kMostTargets = 100;

TargetSpec read_target(TableReader& entry, TargetSpec target) {
  entry.text("id", target.id, Need::required);
  entry.text("title", target.title, Need::required);
  const bool has_metric = entry.choice<TargetMetric>("metric", target.metric, kTargetMetrics, Need::required);
  const bool has_unit = entry.choice<TargetUnit>("unit", target.unit, kTargetUnits, Need::required);
  if (has_metric && has_unit && !unit_fits(target.metric, target.unit))
    entry.error("unit", "is not a unit of this metric");
  entry.number("limit", target.limit, kTargetLimit, Need::required);
  entry.text("edition", target.edition);
  entry.text("per", target.per);
  entry.number("one_point_factor", target.one_point_factor, kOnePointFactor);
  entry.number("add_uncertainty_above_frac", target.add_uncertainty_above_frac, kUncertaintyAbove);
  entry.choice<control::Mark>("mark", target.mark, kTargetMarks, Need::required);
  entry.text("source", target.source);
  if (target.mark == control::Mark::source && !entry.has("source"))
    entry.conclude("source", "missing: mark = \"source\" must name what was read");
  entry.finish();
  return target;
}

Targets read_file(const TomlNode& root, Findings& findings) {
  Targets targets;
  TableReader file(root, "", findings);
  TargetSpec common;
  if (auto table = file.table("targets", Need::required)) {
    table->text("programme", common.programme, Need::required);
    table->text("edition", common.edition);
    table->text("per", common.per);
    table->finish();
  }
  for (TableReader& entry : file.tables("target", kMostTargets, Need::required))
    targets.push_back(read_target(entry, common));
  file.finish();
  return targets;
}

bool by_id(const TargetSpec& a, const TargetSpec& b) { return a.id.view() < b.id.view(); }

std::vector<std::string> files_in(const std::string& directory) {
  std::vector<std::string> files;
  std::error_code error;
  for (std::filesystem::directory_iterator entry(std::filesystem::path(directory) / "targets", error), end;
       !error && entry != end; entry.increment(error))
    if (entry->path().extension() == ".toml") files.push_back(entry->path().string());
  std::sort(files.begin(), files.end());
  return files;
}

void report_unknown(const std::string& id, const Targets& all, Findings& findings) {
  std::vector<std::string> known;
  for (const TargetSpec& target : all) known.emplace_back(target.id.view());
  const std::string_view meant = nearest_word(id, known);
  findings.error(
      0, 0, "",
      "there is no target " + id.substr(0, control::Name::capacity()) +
          (meant.empty() ? "; leeward targets lists them" : "; did you mean " + std::string(meant) + "?"));
}

}  // namespace

Loaded<Targets> load_targets(const std::string& path) {
  Findings findings(path);
  Targets targets;
  if (const auto file = parse_toml_file(path, findings)) targets = read_file(file->root, findings);
  return loaded(std::move(targets), std::move(findings));
}

Loaded<Targets> load_all_targets(const std::string& directory) {
  Findings findings(directory);
  Targets all;
  for (const std::string& path : files_in(directory)) {
    auto file = load_targets(path);
    findings.add(file.errors, file.warnings);
    if (file.value) all.insert(all.end(), file.value->begin(), file.value->end());
  }
  std::sort(all.begin(), all.end(), by_id);
  for (std::size_t i = 1; i < all.size(); ++i)
    if (all[i].id == all[i - 1].id)
      findings.error(0, 0, "", "two targets have the id " + std::string(all[i].id.view()));
  return loaded(std::move(all), std::move(findings));
}

Loaded<Targets> load_named_targets(const std::vector<std::string>& ids, const std::string& directory) {
  Loaded<Targets> all = load_all_targets(directory);
  if (!all) return all;
  Findings findings("targets");
  Targets named;
  for (const std::string& id : ids) {
    const auto found = std::find_if(all.value->begin(), all.value->end(),
                                    [&id](const TargetSpec& t) { return t.id == std::string_view(id); });
    if (found == all.value->end()) {
      report_unknown(id, *all.value, findings);
    } else {
      named.push_back(*found);
    }
  }
  return loaded(std::move(named), std::move(findings));
}

}  // namespace leeward::daemon
