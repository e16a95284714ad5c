#include <map>
#include <memory>

#include <utility>

#include <nlohmann/json.hpp>

#include "control/analysis/analyse.hpp"
#include "control/analysis/density_correction.hpp"
#include "daemon/cli/contradiction.hpp"
#include "daemon/cli/named_procedure.hpp"
#include "daemon/cli/result_face.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/config/file_paths.hpp"
#include "daemon/config/key_rules.hpp"
#include "daemon/config/load_building.hpp"
#include "daemon/config/load_station_table.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/result_json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/version.hpp"

namespace leeward::daemon {
namespace {
using control::CheckKind;
using control::ProcedureSpec;
using control::RunRecord;

/// Dry air of the procedure's reference on both sides: no flow is corrected.
void take_reference_air(RunRecord& run) {
  const ProcedureSpec& p = run.procedure;
  control::ConditionsSpec& c = run.conditions;
  c.indoor_c = c.outdoor_c = p.reference_temperature_c;
  c.indoor_rh_frac = c.outdoor_rh_frac = 0;
  c.has_indoor_rh = c.has_outdoor_rh = false;
  c.has_barometric = true;
  c.barometric_pa = p.reference_pressure_abs_pa;
  run.calibration_density_kg_m3 = control::dry_air(control::celsius(p.reference_temperature_c),
                                                   control::pascals_absolute(p.reference_pressure_abs_pa))
                                      .density.si();
}

/// Sizes and air from the building file and the command line.
/// @returns whether the air is known
Attempt<bool> read_site(const AnalyseCommand& command, RunRecord& run) {
  std::map<std::string, double> given = command.conditions;
  if (!command.building.empty()) {
    const auto file = load_building(command.building);
    if (!file)
      return tl::unexpected(
          Failure{exit_data, "bad_building", to_text(file.errors), "leeward check " + command.building});
    run.building = file.value->building;
    for (const auto& [key, value] : file.value->given_conditions) {
      const bool is_outweighed = key == "barometric_pa" && command.conditions.contains("altitude_m");
      if (!is_outweighed) given.emplace(key, value);
    }
  }
  for (const auto& key : kConditionsKeys)
    if (given.contains(key.rule.key)) set_number(run.conditions, key, given.at(key.rule.key));
  const bool has_air = given.contains("indoor_c") || given.contains("outdoor_c");
  if (!has_air) return false;
  for (const char* key : {"indoor_c", "outdoor_c"})
    if (!given.contains(key))
      return tl::unexpected(
          Failure{exit_usage, "conditions_missing",
                  "one air temperature is given and the other is not: add " + condition_option(key)});
  run.calibration_density_kg_m3 = command.calibration_density_kg_m3;
  return true;
}

/// A check without a limit is not judged: for what a table cannot tell.
void leave_out(ProcedureSpec& procedure, const StationTable& table) {
  for (control::CheckSpec& check : procedure.checks) {
    const bool is_of_time =
        check.kind == CheckKind::baseline_duration || check.kind == CheckKind::station_average;
    const bool is_of_zero_flow = check.kind == CheckKind::baseline_sign_means ||
                                 check.kind == CheckKind::baseline_mean ||
                                 check.kind == CheckKind::baseline_duration;
    const bool is_unknown = check.kind == CheckKind::baseline_samples || (is_of_time && !table.has_seconds) ||
                            (is_of_zero_flow && !table.has_baseline);
    if (is_unknown) check.has_low = check.has_high = false;
  }
}

control::EngineConfig named_restrictions(const StationTable& table) {
  control::EngineConfig config;
  control::FanSpec fan;
  for (const std::string& name : table.restrictions) {
    control::RestrictionSpec restriction;
    restriction.name = std::string_view(name);
    fan.restrictions.push_back(restriction);
  }
  config.fans.push_back(fan);
  return config;
}

void add_cautions(nlohmann::json& result, const StationTable& table, bool has_air) {
  if (!has_air)
    result["cautions"].push_back(
        "No air temperatures were given: the flows are taken at the procedure's reference air, uncorrected.");
  if (!table.has_baseline)
    result["cautions"].push_back(
        "The table holds no zero-flow pressure: its pressures are taken as induced, and the interval leaves "
        "the doubt about the zero-flow pressure out.");
}

/// Nobody stated the air that take_reference_air() put in.
void call_assumed(nlohmann::json& conditions) {
  for (const char* key : {"indoor_c", "outdoor_c", "barometric_pa"})
    conditions["assumed"][key] = std::exchange(conditions[key], nullptr);
}

std::optional<control::Direction> one_direction(const AnalyseCommand& command) {
  return from_name<control::Direction>(command.direction);
}

nlohmann::json as_json(const AnalyseCommand& command, const StationTable& table, const RunRecord& run,
                       const control::RunResult& result) {
  const auto state = result.valid ? control::RunState::done : control::RunState::invalid;
  nlohmann::json json = result_json({stem_of(command.table), std::string(kVersion), state, 0}, run, result,
                                    named_restrictions(table));
  json["started_at"] = nullptr;
  json["rig"] = nullptr;
  for (nlohmann::json& station : json["stations"]) station["signal_pa"] = station["demand_frac"] = nullptr;
  return json;
}
int show_template(const CommonOptions& common) {
  if (common.json) {
    print_json({{"template", station_table_template()}});
  } else {
    print_text(station_table_template());
  }
  return exit_done;
}

Attempt<StationTable> read_table(const AnalyseCommand& command, const ProcedureSpec& procedure) {
  auto table = load_station_table(command.table, procedure, one_direction(command));
  if (!table)
    return tl::unexpected(Failure{exit_data, "bad_table", to_text(table.errors),
                                  "leeward analyse --template prints a table to fill in"});
  if (command.direction == "both" && table.value->directions.size() < 2)
    return tl::unexpected(Failure{exit_data, "bad_table", command.table + ": holds one direction alone",
                                  "name each row's direction in a column `direction`"});
  return std::move(*table.value);
}

/// The result as JSON, with `valid` in it.
Attempt<nlohmann::json> analysed(const AnalyseCommand& command) {
  const auto procedure = named_procedure(command.procedure);
  if (!procedure) return tl::unexpected(procedure.error());
  const auto run = std::make_unique<RunRecord>();
  run->procedure = *procedure;
  run->building_gauge_accuracy_frac = command.building_gauge_accuracy_frac;
  const auto has_air = read_site(command, *run);
  if (!has_air) return tl::unexpected(has_air.error());
  if (!*has_air) take_reference_air(*run);
  const auto table = read_table(command, *procedure);
  if (!table) return tl::unexpected(table.error());
  run->directions = table->directions;
  leave_out(run->procedure, *table);
  const auto result = std::make_unique<control::RunResult>(control::analyse(*run));
  if (!result->computed)
    return tl::unexpected(Failure{exit_data, "bad_table", command.table + ": the rows give no curve"});
  nlohmann::json json = as_json(command, *table, *run, *result);
  if (!*has_air) call_assumed(json["conditions"]);
  add_cautions(json, *table, *has_air);
  return json;
}
}  // namespace

int run_command(const AnalyseCommand& command, const CommonOptions& common) {
  if (command.is_template) return show_template(common);
  const auto result = analysed(command);
  if (!result) return report_failure(common.json, result.error());
  const auto targets = chosen_targets(command.face, object_at(*result, "building"));
  if (!targets) return report_failure(common.json, targets.error());
  show_result(*result, *targets, command.face, common.json);
  return true_at(*result, "valid") ? exit_done : exit_invalid;
}

}  // namespace leeward::daemon
