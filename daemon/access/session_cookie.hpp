#pragma once
/// The cookie that a browser gets for a token: signed, so that it outlives a restart of the daemon without
/// being stored; bound to the token's hash, so that revoking the token ends it.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "daemon/access/token_list.hpp"

namespace leeward::daemon {

inline constexpr std::string_view kSessionCookie = "leeward_session";
inline constexpr std::int64_t kSessionSeconds = 30 * 24 * 3600;

/// @param key  the daemon's own secret
[[nodiscard]] std::string sign_session(const TokenRecord& token, std::int64_t expires_unix_s,
                                       std::string_view key);

/// Whose token a cookie's value is of, before anything about it is believed.
[[nodiscard]] std::string_view claimed_name(std::string_view value);

/// @returns whether the value is what sign_session gave for this token and has not run out
[[nodiscard]] bool session_holds(std::string_view value, const TokenRecord& token, std::int64_t now_unix_s,
                                 std::string_view key);

/// The value of a cookie in the header's text; empty where it is not there.
[[nodiscard]] std::string_view cookie_value(std::string_view header, std::string_view name);

/// @param is_secure  the browser came over TLS: the cookie never goes out without it
[[nodiscard]] std::string set_cookie_text(std::string_view value, std::int64_t max_age_s, bool is_secure);

}  // namespace leeward::daemon
