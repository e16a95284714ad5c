#include "daemon/api/run_request.hpp"

#include "daemon/api/checked_json.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/key_rules.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/config/near_key.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {

template <class Spec, std::size_t N>
void read_numbers(FieldReader& fields, Spec& spec, const std::array<NumberKey<Spec>, N>& keys) {
  for (const NumberKey<Spec>& key : keys) {
    const NumberRule rule{key.rule.low, key.rule.high, key.rule.unit, false};
    if (key.rule.required) {
      // A null is no temperature: it counts as missing.
      set_number(spec, key, fields.required_number(key.rule.key, rule));
    } else if (const auto value = fields.number(key.rule.key, rule)) {
      set_number(spec, key, *value);
    }
  }
}

/// Ids of limits, so that a result says what it is held against.
void read_targets(FieldReader& fields, control::BuildingSpec& building) {
  const nlohmann::json* list = fields.any("targets");
  if (list == nullptr) return;
  const std::string allowed = "must be a list of at most " + std::to_string(control::kMaxTargets) + " names";
  if (!list->is_array() || list->size() > control::kMaxTargets)
    return fields.add_problem("targets", "wrong_type", allowed, "GET /v1/targets lists them");
  for (const nlohmann::json& id : *list) {
    if (!id.is_string()) return fields.add_problem("targets", "wrong_type", allowed);
    const auto named = load_named_targets({id.get<std::string>()}, default_config_directory());
    if (!named)
      return fields.add_problem("targets", "unknown_target", to_text(named.errors),
                                "GET /v1/targets lists them");
    building.targets.push_back(named.value->front().id);
  }
}

void read_building(FieldReader& top, control::RunSpec& run, std::vector<Problem>& problems) {
  const nlohmann::json* object = top.object("building");
  if (object == nullptr) {
    if (!top.has("building")) top.missing("building");
    return;
  }
  FieldReader fields(*object, "building", problems);
  if (const auto name = fields.text("name", kLongestBuildingName))
    run.building.name = std::string_view(*name);
  read_numbers(fields, run.building, kBuildingKeys);
  read_targets(fields, run.building);
  fields.refuse_unknown();
}

void read_conditions(FieldReader& top, control::RunSpec& run, std::vector<Problem>& problems) {
  const nlohmann::json* object = top.object("conditions");
  if (object == nullptr) {
    if (!top.has("conditions")) top.missing("conditions");
    return;
  }
  FieldReader fields(*object, "conditions", problems);
  read_numbers(fields, run.conditions, kConditionsKeys);
  fields.refuse_unknown();
}

void read_procedure(FieldReader& top, control::RunSpec& run) {
  const auto name = top.text("procedure", control::Name::capacity());
  if (!name) {
    if (!top.has("procedure")) top.missing("procedure");
    return;
  }
  if (!find_procedure(*name)) {
    const std::vector<std::string> known = list_procedures();
    const std::string_view meant = nearest_word(*name, known);
    return top.add_problem(
        "procedure", "unknown_procedure", "is not the name of a procedure: " + *name,
        meant.empty() ? "the procedures are " + one_of(known) : "did you mean " + std::string(meant) + "?");
  }
  const auto procedure = load_named_procedure(*name, default_config_directory());
  if (!procedure)
    return top.add_problem("procedure", "bad_procedure", "cannot be used: " + to_text(procedure.errors));
  run.procedure = *procedure.value;
}

void read_direction(FieldReader& top, control::RunSpec& run) {
  // A procedure that wants both is not refused for a direction that nobody chose.
  if (run.procedure.directions == control::DirectionRule::both)
    run.direction = control::DirectionChoice::both;
  const auto text = top.text("direction", 32);
  if (!text) return;
  const auto choice = from_name<control::DirectionChoice>(*text);
  if (!choice)
    return top.add_problem("direction", "out_of_range", "must be depressurize, pressurize or both");
  run.direction = *choice;
}
}  // namespace

void read_changed_conditions(FieldReader& top, control::ConditionsSpec& conditions,
                             std::vector<Problem>& problems) {
  const nlohmann::json* object = top.object("conditions");
  if (object == nullptr) return;
  FieldReader fields(*object, "conditions", problems);
  for (const auto& key : kConditionsKeys)
    if (const auto value = fields.number(key.rule.key, {key.rule.low, key.rule.high, key.rule.unit, false}))
      set_number(conditions, key, *value);
  // The barometer outweighs the altitude, so the one before must not outweigh an altitude that was just
  // given.
  if (fields.has("altitude_m") && !fields.has("barometric_pa")) conditions.has_barometric = false;
  fields.refuse_unknown();
}

RunRequest read_run_request(const std::string& body, std::vector<Problem>& problems) {
  RunRequest out;
  nlohmann::json json;
  if (const auto problem = parse_body(body, json)) {
    problems.push_back(*problem);
    return out;
  }
  FieldReader top(json, "", problems);
  read_procedure(top, out.run);
  read_direction(top, out.run);
  read_building(top, out.run, problems);
  read_conditions(top, out.run, problems);
  out.run.attended = top.boolean_or("attended", true);
  out.run.presence_s =
      top.number_or(kPresenceKey.key, {kPresenceKey.low, kPresenceKey.high, kPresenceKey.unit, false}, 0);
  out.dry_run = top.boolean_or("dry_run", false);
  top.refuse_unknown();
  return out;
}

}  // namespace leeward::daemon
