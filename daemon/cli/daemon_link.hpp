#pragma once
/// The way from a command to the daemon.

#include <string>

#include <nlohmann/json.hpp>
#include <tl/expected.hpp>

#include "daemon/cli/commands.hpp"
#include "daemon/cli/output.hpp"
#include "daemon/client/http_client.hpp"

namespace leeward::daemon {

template <class T>
using Attempt = tl::expected<T, Failure>;

/// Errors   those of token_from()
[[nodiscard]] Attempt<HttpClient> link_to(const Target& target);

/// What a failed call means: nobody there, or the wire broke.
[[nodiscard]] Failure failure_of(const control::Error& error);

/// One call whose answer is JSON.
/// Errors   also every answer that says 4xx or 5xx, with its detail and hint
[[nodiscard]] Attempt<nlohmann::json> call(const HttpClient& client, const std::string& method,
                                           const std::string& path, const nlohmann::json& body = nullptr);

/// As call(), and text where the answer is no JSON.
[[nodiscard]] Attempt<std::string> call_text(const HttpClient& client, const std::string& method,
                                             const std::string& path, const std::string& body = {});

}  // namespace leeward::daemon
