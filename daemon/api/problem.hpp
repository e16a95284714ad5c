#pragma once
/// What is wrong with a request, as application/problem+json.
/// Source   RFC 9457; `code`, `field`, `hint` and `errors` are our own members

#include <string>
#include <string_view>
#include <vector>

#include <nlohmann/json_fwd.hpp>

#include "control/engine_config.hpp"
#include "control/phase.hpp"
#include "control/request.hpp"
#include "daemon/api/http_message.hpp"

namespace leeward::daemon {

struct Problem {
  int status = 400;
  std::string code;    ///< one word a program can test
  std::string detail;  ///< one sentence for a person
  std::string field;   ///< dotted name with its unit; empty: not about a field
  std::string hint;    ///< what to do now; may be empty
};

[[nodiscard]] std::string_view status_title(int status);
[[nodiscard]] nlohmann::json problem_json(const Problem& problem);
[[nodiscard]] ApiResponse problem_response(const Problem& problem);
/// 404: no recording has this id.
[[nodiscard]] ApiResponse unknown_run_response(const std::string& id);
/// The first problem leads, all of them are listed in `errors`.
[[nodiscard]] ApiResponse problems_response(const std::vector<Problem>& problems);
/// Readings are written with the digits that they came with.
[[nodiscard]] ApiResponse json_response(int status, nlohmann::json body);

/// What the engine's refusal means to the caller.
/// @param phase  where the engine stands; named in the answer of every 409
[[nodiscard]] ApiResponse refusal_response(const control::Request& request, control::Refusal refusal,
                                           control::Phase phase, const control::EngineConfig& config);

}  // namespace leeward::daemon
