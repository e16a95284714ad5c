#include "daemon/api/idempotent_start.hpp"

#include "daemon/api/problem.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kLongestKey = 128;

ApiResponse wrong_key(int status, const char* code, const char* detail, const char* hint) {
  return problem_response({status, code, detail, "Idempotency-Key", hint});
}
}  // namespace

StartKey start_key(const ApiRequest& request) {
  const bool starts = request.path == "/v1/runs" ||
                      (request.path.starts_with("/v1/runs/") && request.path.ends_with("/resume"));
  if (request.method != "POST" || !starts) return {};
  return {request.caller.name, request.idempotency_key};
}

std::optional<ApiResponse> begin_start(AccessDesk& desk, const ApiRequest& request) {
  const StartKey start = start_key(request);
  if (start.key.empty()) return std::nullopt;
  if (start.key.size() > kLongestKey)
    return wrong_key(422, "key_too_long", "the key is longer than 128 characters", "a random UUID will do");
  const auto known = desk.starts.begin(start.caller, start.key, request.path + "\n" + request.body);
  switch (known.state) {
    case KeyState::answered:
      return *known.answer;
    case KeyState::under_way:
      return wrong_key(409, "under_way", "the start with this key has no answer yet",
                       "ask again in a second");
    case KeyState::other_body:
      return wrong_key(422, "key_used", "this key was used for another request",
                       "use a new key for a new run");
    case KeyState::fresh:
      break;
  }
  return std::nullopt;
}

void end_start(AccessDesk& desk, const StartKey& start, const ApiResponse& answer) {
  if (start.key.empty()) return;
  if (answer.status == 201) return desk.starts.answered(start.caller, start.key, answer);
  desk.starts.forget(start.caller, start.key);
}

}  // namespace leeward::daemon
