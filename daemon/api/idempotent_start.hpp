#pragma once
/// A start with an idempotency key is carried out once, however often it is sent.

#include <optional>
#include <string>

#include "daemon/api/access_desk.hpp"

namespace leeward::daemon {

/// Names a start; an empty key: none was given.
struct StartKey {
  std::string caller;
  std::string key;
};

[[nodiscard]] StartKey start_key(const ApiRequest& request);

/// @returns the answer, where the key was seen before or is no key: the first one's, 409 while that is under
///          way, 422 for another body
[[nodiscard]] std::optional<ApiResponse> begin_start(AccessDesk& desk, const ApiRequest& request);

/// Keeps the answer of a start that was made, so that it can be given again; a refused one may be tried anew.
void end_start(AccessDesk& desk, const StartKey& start, const ApiResponse& answer);

}  // namespace leeward::daemon
