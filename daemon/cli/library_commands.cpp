/// What lies in the folders of procedures and targets.

#include <algorithm>

#include <nlohmann/json.hpp>

#include "daemon/cli/named_procedure.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/report/procedure_report.hpp"
#include "daemon/report/targets_json.hpp"
#include "daemon/report/text_block.hpp"
#include "daemon/words/target_text.hpp"

namespace leeward::daemon {
namespace {

int list_all(const CommonOptions& common) {
  constexpr std::size_t name_width = 22;
  nlohmann::json procedures = nlohmann::json::array();
  std::string text;
  for (const std::string& id : list_procedures()) {
    const auto procedure = load_named_procedure(id, default_config_directory());
    if (!procedure) continue;  // leeward check says why
    procedures.push_back(procedure_summary_json(*procedure.value));
    text += left_in(id, name_width) + std::string(procedure.value->title.view()) + "\n";
  }
  if (procedures.empty())
    return report_failure(common.json, {exit_config, "no_procedures", "no procedure files were found",
                                        "set LEEWARD_CONFIG_DIR to the folder that holds procedures/"});
  if (common.json) {
    print_json({{"procedures", std::move(procedures)}});
  } else {
    print_text(text + "leeward procedures NAME explains one");
  }
  return exit_done;
}

std::string target_line(const control::TargetSpec& target) {
  constexpr std::size_t name_width = 31;
  const std::string edition = target.edition.empty() ? "" : " (" + std::string(target.edition.view()) + ")";
  return wrapped("  " + left_in(target.id.view(), name_width),
                 std::string(target.title.view()) + edition + ": " + target_limit_text(target) +
                     (target.mark == control::Mark::memory ? "*" : ""));
}
}  // namespace

int run_command(const ProceduresCommand& command, const CommonOptions& common) {
  if (command.procedure.empty()) return list_all(common);
  const auto procedure = named_procedure(command.procedure);
  if (!procedure) return report_failure(common.json, procedure.error());
  if (common.json) {
    print_json(procedure_json(*procedure));
  } else {
    print_text(procedure_text(*procedure));
  }
  return exit_done;
}

int run_command(const TargetsCommand&, const CommonOptions& common) {
  auto targets = load_all_targets(default_config_directory());
  if (!targets) return report_failure(common.json, {exit_data, "bad_targets", to_text(targets.errors)});
  nlohmann::json list = nlohmann::json::array();
  for (const control::TargetSpec& target : *targets.value) list.push_back(target_json(target));
  std::stable_sort(targets.value->begin(), targets.value->end(),
                   [](const auto& a, const auto& b) { return a.programme.view() < b.programme.view(); });
  std::string text;
  std::string_view programme;
  for (const control::TargetSpec& target : *targets.value) {
    if (target.programme.view() != programme) text += std::string(target.programme.view()) + "\n";
    programme = target.programme.view();
    text += target_line(target);
  }
  if (common.json) {
    print_json({{"targets", std::move(list)}});
  } else {
    print_text(text + "* limit not checked against the code's text");
  }
  return exit_done;
}

}  // namespace leeward::daemon
