#include "daemon/api/admission.hpp"

#include "daemon/api/http_security.hpp"

namespace leeward::daemon {
namespace {

Problem too_many(const char* what) {
  return {429, "too_many_requests", what, "", "wait a few seconds, then ask less often"};
}

Admission refused(Problem problem, Caller caller = {}) {
  return {std::move(caller), std::move(problem), false};
}

/// The caller of a TCP request, or why there is none.
Admission identify(AccessDesk& desk, const RequestHead& head, double now_s, std::int64_t now_unix_s) {
  const auto caller =
      desk.gate ? desk.gate->identify(head.authorization, head.cookie, now_unix_s) : std::nullopt;
  if (caller) return {*caller, std::nullopt, false};
  if (!desk.wrong_tokens.pass(std::string(head.address), now_s))
    return refused(too_many("too many requests without a valid token came from this address"));
  return {
      {},
      Problem{401, "wrong_token", "a token is needed", "Authorization",
              "make one with leeward token NAME; send it as Authorization: Bearer TOKEN, or open its link"},
      true};
}

/// A browser sends a cookie by itself, so a command with it must come from our own page.
bool is_foreign_use_of_cookie(const Caller& caller, const RequestHead& head) {
  return caller.by_cookie && head.method != "GET" && head.origin.empty();
}

std::optional<Problem> role_problem(const Caller& caller, Needs needs) {
  if (needs == Needs::nothing || needs == Needs::reading || caller.role == Role::operating)
    return std::nullopt;
  return Problem{403, "viewer", "the token " + caller.name + " may look, not command", "",
                 "use a token of the role operator: leeward token NAME"};
}

std::optional<Problem> helm_problem(AccessDesk& desk, const Caller& caller, Needs needs, double now_s) {
  desk.helm.heard(caller.name, now_s);
  if (needs != Needs::helm || desk.helm.take(caller.name, now_s)) return std::nullopt;
  return Problem{409, "helm_taken", "the helm is with " + desk.helm.holder(now_s).value_or("another"), "",
                 "only one commands at a time: have it handed over, or wait until its holder has been silent "
                 "for 10 s; stop and answers need no helm"};
}
}  // namespace

Admission admit(AccessDesk& desk, const RequestHead& head, Needs needs,
                const std::vector<std::string>& own_names, double now_s, std::int64_t now_unix_s) {
  if (!head.is_tcp) {
    const Caller local{"local:" + std::string(head.local_user), Role::operating, false};
    return {local, helm_problem(desk, local, needs, now_s), false};
  }
  if (auto problem = check_host(head.host, own_names)) return refused(std::move(*problem));
  if (auto problem = check_origin(head.origin, head.host)) return refused(std::move(*problem));
  if (needs == Needs::nothing) return {};
  Admission admission = identify(desk, head, now_s, now_unix_s);
  if (admission.refusal) return admission;
  const Caller& caller = admission.caller;
  if (is_foreign_use_of_cookie(caller, head))
    return refused({403, "no_origin", "a browser's command must name its page", "Origin",
                    "open the page from the daemon itself; scripts use a bearer token"},
                   caller);
  if (auto problem = role_problem(caller, needs)) return refused(std::move(*problem), caller);
  // Nothing may stand between a person and the stop.
  if (head.path != "/v1/stop" && !desk.requests.pass(caller.name, now_s))
    return refused(too_many("this token asks more than 40 times a second"), caller);
  admission.refusal = helm_problem(desk, caller, needs, now_s);
  return admission;
}

}  // namespace leeward::daemon
