#include "daemon/api/problem.hpp"

#include <algorithm>
#include <array>

#include <nlohmann/json.hpp>

#include "daemon/words/json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/plain_number.hpp"
#include "daemon/words/refusal_text.hpp"

namespace leeward::daemon {
namespace {
using control::Refusal;
using control::RequestKind;

struct RefusalStatus {
  Refusal refusal;
  int status;
  const char* field;  ///< empty: the field that the kind of request is about, where the status is 422
};

constexpr std::array<RefusalStatus, 16> kRefusals{{
    {Refusal::not_finite, 422, ""},
    {Refusal::out_of_range, 422, ""},
    {Refusal::above_ceiling, 422, "target_pa"},
    {Refusal::no_baseline, 409, ""},
    {Refusal::look_round_missing, 409, "look_round_done"},
    {Refusal::busy, 409, ""},
    {Refusal::not_running, 409, ""},
    {Refusal::tripped, 409, ""},
    {Refusal::no_trip, 409, ""},
    {Refusal::unknown_ask, 404, "ask_id"},
    {Refusal::ask_answered, 409, "ask_id"},
    {Refusal::unknown_answer, 422, "answer"},
    {Refusal::direction_not_allowed, 422, "direction"},
    {Refusal::no_stations, 422, "procedure"},
    {Refusal::unattended_refused, 422, "attended"},
    {Refusal::cannot_take_up, 409, ""},
}};

const char* default_field(RequestKind kind) {
  if (kind == RequestKind::baseline) return "duration_s";
  if (kind == RequestKind::start_run) return "building";
  return "target_pa";
}
}  // namespace

std::string_view status_title(int status) {
  switch (status) {
    case 400:
      return "Bad Request";
    case 401:
      return "Unauthorized";
    case 403:
      return "Forbidden";
    case 404:
      return "Not Found";
    case 405:
      return "Method Not Allowed";
    case 409:
      return "Conflict";
    case 413:
      return "Content Too Large";
    case 415:
      return "Unsupported Media Type";
    case 421:
      return "Misdirected Request";
    case 422:
      return "Unprocessable Content";
    case 429:
      return "Too Many Requests";
    case 431:
      return "Request Header Fields Too Large";
    case 500:
      return "Internal Server Error";
    case 503:
      return "Service Unavailable";
    default:
      return "Error";
  }
}

nlohmann::json problem_json(const Problem& problem) {
  nlohmann::json json = {{"type", "about:blank"},
                         {"title", status_title(problem.status)},
                         {"status", problem.status},
                         {"detail", problem.detail},
                         {"code", problem.code}};
  if (!problem.field.empty()) json["field"] = problem.field;
  if (!problem.hint.empty()) json["hint"] = problem.hint;
  return json;
}

ApiResponse problem_response(const Problem& problem) { return problems_response({problem}); }

ApiResponse unknown_run_response(const std::string& id) {
  return problem_response({404, "unknown_run", "there is no run " + id, "run_id", "GET /v1/runs lists them"});
}

ApiResponse problems_response(const std::vector<Problem>& problems) {
  ApiResponse response;
  response.content_type = "application/problem+json";
  const Problem first =
      problems.empty() ? Problem{500, "internal", "no problem was named", "", ""} : problems[0];
  response.status = first.status;
  nlohmann::json json = problem_json(first);
  if (problems.size() > 1) {
    for (const Problem& problem : problems)
      json["errors"].push_back({{"field", problem.field},
                                {"code", problem.code},
                                {"detail", problem.detail},
                                {"hint", problem.hint}});
  }
  response.body = json_text(json);
  return response;
}

ApiResponse json_response(int status, nlohmann::json body) {
  make_plain(body);
  ApiResponse response;
  response.status = status;
  response.body = json_text(body);
  return response;
}

ApiResponse refusal_response(const control::Request& request, Refusal refusal, control::Phase phase,
                             const control::EngineConfig& config) {
  const auto known = std::find_if(kRefusals.begin(), kRefusals.end(),
                                  [refusal](const RefusalStatus& entry) { return entry.refusal == refusal; });
  if (known == kRefusals.end())
    return problem_response({500, "internal", "the engine gave an unknown answer", "", ""});
  Problem problem{known->status, std::string(name_of(refusal)), refusal_text(refusal, request, config),
                  known->field, ""};
  if (problem.field.empty() && problem.status == 422) problem.field = default_field(request.kind);
  nlohmann::json json = problem_json(problem);
  if (problem.status == 409) json["phase"] = name_of(phase);
  ApiResponse response = json_response(problem.status, json);
  response.content_type = "application/problem+json";
  return response;
}

}  // namespace leeward::daemon
