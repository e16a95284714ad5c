#include "daemon/api/library_handlers.hpp"

#include <nlohmann/json.hpp>

#include "daemon/api/openapi_document.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/report/procedure_report.hpp"
#include "daemon/report/targets_json.hpp"

namespace leeward::daemon {
namespace {
/// Changes with the files or the program only, so a client may keep it and ask whether it still holds.
ApiResponse kept_response(nlohmann::json body) {
  ApiResponse response = json_response(200, std::move(body));
  response.may_be_kept = true;
  return response;
}
}  // namespace

void get_openapi(const ApiContext&, const ApiRequest&, const PathArgs&, const Reply& reply) {
  ApiResponse response;
  response.body = openapi_document();
  response.may_be_kept = true;
  reply(std::move(response));
}

void get_procedures(const ApiContext&, const ApiRequest&, const PathArgs&, const Reply& reply) {
  nlohmann::json procedures = nlohmann::json::array();
  for (const std::string& id : list_procedures()) {
    const auto procedure = load_named_procedure(id, default_config_directory());
    if (procedure)
      procedures.push_back(procedure_summary_json(*procedure.value));  // leeward check says why not
  }
  reply(kept_response({{"procedures", std::move(procedures)}}));
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
  reply(kept_response(procedure_json(*procedure.value)));
}

void get_targets(const ApiContext&, const ApiRequest&, const PathArgs&, const Reply& reply) {
  const auto targets = load_all_targets(default_config_directory());
  if (!targets)
    return reply(
        problem_response({500, "bad_targets", to_text(targets.errors), "", "leeward check says more"}));
  nlohmann::json list = nlohmann::json::array();
  for (const control::TargetSpec& target : *targets.value) list.push_back(target_json(target));
  reply(kept_response({{"targets", std::move(list)}}));
}

}  // namespace leeward::daemon
