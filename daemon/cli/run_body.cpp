#include "daemon/cli/run_body.hpp"

#include "daemon/cli/contradiction.hpp"
#include "daemon/config/key_rules.hpp"

namespace leeward::daemon {
namespace {

nlohmann::json numbers_json(const std::vector<std::pair<std::string, double>>& numbers) {
  nlohmann::json out = nlohmann::json::object();
  for (const auto& [key, value] : numbers) out[key] = value;
  return out;
}

nlohmann::json conditions_json(const RunCommand& command, const BuildingFile& file) {
  nlohmann::json out = numbers_json(file.given_conditions);
  // The barometer outweighs the altitude, so the file's must not outweigh an altitude that was just given.
  if (command.conditions.contains("altitude_m")) out.erase("barometric_pa");
  for (const auto& [key, value] : command.conditions) out[key] = value;
  return out;
}

/// "--indoor-c and --outdoor-c": those that are needed and not there.
std::string missing_options(const nlohmann::json& conditions) {
  std::string missing;
  for (const auto& key : kConditionsKeys)
    if (key.rule.required && !conditions.contains(key.rule.key))
      missing += (missing.empty() ? "" : " and ") + condition_option(key.rule.key);
  return missing;
}

std::vector<std::string> warnings_of(const Loaded<BuildingFile>& file, const nlohmann::json& conditions) {
  std::vector<std::string> out;
  for (const FileError& warning : file.warnings) {
    // What the file leaves to the command line is judged below, both taken together.
    const bool is_judged_below = warning.key == "conditions" || warning.key == "conditions.altitude_m";
    if (!is_judged_below) out.push_back(to_text(warning));
  }
  if (!conditions.contains("altitude_m") && !conditions.contains("barometric_pa"))
    out.emplace_back("neither an altitude nor a barometric pressure is given (" +
                     condition_option("altitude_m") + ", " + condition_option("barometric_pa") +
                     "): sea level is assumed");
  return out;
}
}  // namespace

Attempt<RunBody> run_body(const RunCommand& command, const Loaded<BuildingFile>& file) {
  const nlohmann::json conditions = conditions_json(command, *file.value);
  if (const std::string missing = missing_options(conditions); !missing.empty())
    return tl::unexpected(Failure{exit_usage, "conditions_missing",
                                  "a result needs the air temperatures, and none are assumed: give " +
                                      missing + ", or a table [conditions] in " + command.building});
  RunBody body;
  body.json = {{"procedure", command.procedure},
               {"building", numbers_json(file.value->given_building)},
               {"conditions", conditions},
               {"attended", !command.is_unattended}};
  const std::string name(file.value->building.name.view());
  if (!name.empty()) body.json["building"]["name"] = name;
  for (const control::Name& id : file.value->building.targets)
    body.json["building"]["targets"].push_back(id.view());
  if (!command.direction.empty()) body.json["direction"] = command.direction;
  if (command.presence_s) body.json[kPresenceKey.key] = *command.presence_s;
  if (command.is_dry_run) body.json["dry_run"] = true;
  body.warnings = warnings_of(file, conditions);
  return body;
}

}  // namespace leeward::daemon
