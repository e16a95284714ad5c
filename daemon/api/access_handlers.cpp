#include "daemon/api/access_handlers.hpp"

#include <nlohmann/json.hpp>

#include "daemon/access/session_cookie.hpp"
#include "daemon/api/checked_json.hpp"
#include "daemon/api/problem.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;
constexpr std::size_t kLongestToken = 256;
constexpr std::size_t kLongestIdentity = 64;

bool is_over_tls(const ApiRequest& request) { return request.origin.starts_with("https://"); }

json identity_json(const std::string& name, Role role) {
  return {{"identity", name}, {"role", role_name(role)}};
}

ApiResponse helm_response(const ApiContext& context, const ApiRequest& request) {
  return json_response(200, helm_json(context.desk->helm, request.caller, steady_now_s()));
}

ApiResponse held_by_another(const Helm& helm, double now_s) {
  const auto holder = helm.holder(now_s);
  return problem_response(
      {409, "helm_taken", holder ? "the helm is with " + *holder : "you do not have the helm", "",
       holder ? "its holder may hand it over; 10 s of silence free it" : "take it first: POST /v1/helm {}"});
}
}  // namespace

json helm_json(const Helm& helm, double now_s) {
  const auto holder = helm.holder(now_s);
  const auto silent_s = helm.silent_s(now_s);
  return {{"holder", holder ? json(*holder) : json(nullptr)},
          {"silent_s", silent_s ? json(*silent_s) : json(nullptr)},
          {"freed_after_s", Helm::kSilenceS}};
}

json helm_json(const Helm& helm, const Caller& caller, double now_s) {
  json out = helm_json(helm, now_s);
  out["is_yours"] = helm.holder(now_s) == caller.name;
  return out;
}

void get_session(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  json body = identity_json(request.caller.name, request.caller.role);
  body["helm"] = helm_json(context.desk->helm, request.caller, steady_now_s());
  reply(json_response(200, body));
}

void post_session(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  json body;
  std::vector<Problem> problems;
  if (const auto problem = parse_body(request.body, body)) return reply(problem_response(*problem));
  FieldReader fields(body, "", problems);
  const auto token = fields.text("token", kLongestToken);
  if (!fields.has("token")) fields.missing("token");
  fields.refuse_unknown();
  if (!problems.empty()) return reply(problems_response(problems));
  if (!context.desk->gate || request.is_local)
    return reply(problem_response({409, "no_session", "on the Unix socket nobody needs a session", "",
                                   "send the request without one"}));
  const TokenRecord* record = context.desk->gate->find_token(*token);
  if (record == nullptr) {
    const bool may_try = context.desk->wrong_tokens.pass(request.address, steady_now_s());
    return reply(problem_response(
        may_try ? Problem{401, "wrong_token", "this token is not known here", "token",
                          "make one with leeward token NAME, and copy all of it"}
                : Problem{429, "too_many_requests", "too many wrong tokens came from this address", "token",
                          "wait a minute"}));
  }
  ApiResponse response = json_response(200, identity_json(record->name, record->role));
  response.headers.emplace_back(
      "Set-Cookie", set_cookie_text(context.desk->gate->session_of(*record, calendar_now_ms() / 1000),
                                    kSessionSeconds, is_over_tls(request)));
  reply(std::move(response));
}

void delete_session(const ApiContext&, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  ApiResponse response;
  response.status = 204;
  response.headers.emplace_back("Set-Cookie", set_cookie_text("", 0, is_over_tls(request)));
  reply(std::move(response));
}

void post_helm(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  json body = json::object();
  std::vector<Problem> problems;
  if (!request.body.empty())
    if (const auto problem = parse_body(request.body, body)) return reply(problem_response(*problem));
  FieldReader fields(body, "", problems);
  const auto to = fields.text("to", kLongestIdentity);
  fields.refuse_unknown();
  if (!problems.empty()) return reply(problems_response(problems));
  const double now_s = steady_now_s();
  Helm& helm = context.desk->helm;
  const bool is_done =
      to ? helm.hand_over(request.caller.name, *to, now_s) : helm.take(request.caller.name, now_s);
  reply(is_done ? helm_response(context, request) : held_by_another(helm, now_s));
}

void delete_helm(const ApiContext& context, const ApiRequest& request, const PathArgs&, const Reply& reply) {
  const double now_s = steady_now_s();
  if (!context.desk->helm.free(request.caller.name, now_s))
    return reply(held_by_another(context.desk->helm, now_s));
  reply(helm_response(context, request));
}

}  // namespace leeward::daemon
