#pragma once
/// What is remembered of those who ask: tokens, the helm, how often they asked, what they started.

#include <cstdint>
#include <map>
#include <optional>
#include <string>

#include "daemon/access/answered_starts.hpp"
#include "daemon/access/gate.hpp"
#include "daemon/access/helm.hpp"
#include "daemon/access/rate_limit.hpp"
#include "daemon/api/http_message.hpp"

namespace leeward::daemon {

/// Belongs to the thread that serves the sockets.
struct AccessDesk {
  std::optional<Gate> gate;  ///< none: nothing listens on the network
  Helm helm;
  RateLimit requests{{.per_s = 40, .burst = 120}};      ///< of each caller on the network
  RateLimit wrong_tokens{{.per_s = 0.2, .burst = 10}};  ///< of each address
  AnsweredStarts<ApiResponse> starts;
  std::map<std::string, std::uint64_t> refused{};  ///< requests not let in, by the code of the problem
};

/// Seconds of the steady clock, for the helm and the limits.
[[nodiscard]] double steady_now_s();
[[nodiscard]] std::int64_t calendar_now_ms();

}  // namespace leeward::daemon
