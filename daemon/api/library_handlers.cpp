#include "daemon/api/library_handlers.hpp"

#include <nlohmann/json.hpp>

#include "daemon/api/problem.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/report/procedure_report.hpp"
#include "daemon/report/targets_json.hpp"

namespace leeward::daemon {

void get_procedures(const ApiContext&, const ApiRequest&, const PathArgs&, const Reply& reply) {
  nlohmann::json procedures = nlohmann::json::array();
  for (const std::string& id : list_procedures()) {
    const auto procedure = load_named_procedure(id, default_config_directory());
    if (procedure)
      procedures.push_back(procedure_summary_json(*procedure.value));  // leeward check says why not
  }
  reply(json_response(200, {{"procedures", std::move(procedures)}}));
}

void get_procedure(const ApiContext&, const ApiRequest&, const PathArgs& args, const Reply& reply) {
  const std::string& id = args[0];
  if (!find_procedure(id))
    return reply(problem_response(
        {404, "unknown_procedure", "there is no procedure " + id, "", "GET /v1/procedures lists them"}));
  const auto procedure = load_named_procedure(id, default_config_directory());
  if (!procedure)
    return reply(
        problem_response({500, "bad_procedure", to_text(procedure.errors), "", "leeward check says more"}));
  reply(json_response(200, procedure_json(*procedure.value)));
}

void get_targets(const ApiContext&, const ApiRequest&, const PathArgs&, const Reply& reply) {
  const auto targets = load_all_targets(default_config_directory());
  if (!targets)
    return reply(
        problem_response({500, "bad_targets", to_text(targets.errors), "", "leeward check says more"}));
  nlohmann::json list = nlohmann::json::array();
  for (const control::TargetSpec& target : *targets.value) list.push_back(target_json(target));
  reply(json_response(200, {{"targets", std::move(list)}}));
}

}  // namespace leeward::daemon
