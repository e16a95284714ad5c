#include "daemon/access/session_cookie.hpp"

#include <charconv>

#include "daemon/access/secret.hpp"

namespace leeward::daemon {
namespace {
/// NAME.EXPIRES, what is signed.
std::string claim_text(std::string_view name, std::int64_t expires_unix_s) {
  return std::string(name) + "." + std::to_string(expires_unix_s);
}

std::string signature_of(std::string_view claim, const TokenRecord& token, std::string_view key) {
  return hmac_sha256_hex(key, std::string(claim) + "." + token.sha256);
}
}  // namespace

std::string sign_session(const TokenRecord& token, std::int64_t expires_unix_s, std::string_view key) {
  const std::string claim = claim_text(token.name, expires_unix_s);
  return claim + "." + signature_of(claim, token, key);
}

std::string_view claimed_name(std::string_view value) { return value.substr(0, value.find('.')); }

bool session_holds(std::string_view value, const TokenRecord& token, std::int64_t now_unix_s,
                   std::string_view key) {
  const std::size_t first = value.find('.');
  const std::size_t last = value.rfind('.');
  if (first == std::string_view::npos || last <= first) return false;
  const std::string_view until = value.substr(first + 1, last - first - 1);
  std::int64_t expires_unix_s = 0;
  const auto [end, error] = std::from_chars(until.data(), until.data() + until.size(), expires_unix_s);
  if (error != std::errc{} || end != until.data() + until.size()) return false;
  if (value.substr(0, first) != token.name || expires_unix_s <= now_unix_s) return false;
  return same_secret(value.substr(last + 1), signature_of(value.substr(0, last), token, key));
}

std::string_view cookie_value(std::string_view header, std::string_view name) {
  while (!header.empty()) {
    const std::size_t end = std::min(header.find(';'), header.size());
    std::string_view pair = header.substr(0, end);
    header.remove_prefix(std::min(end + 1, header.size()));
    while (pair.starts_with(' ')) pair.remove_prefix(1);
    if (pair.size() > name.size() && pair.starts_with(name) && pair[name.size()] == '=')
      return pair.substr(name.size() + 1);
  }
  return {};
}

std::string set_cookie_text(std::string_view value, std::int64_t max_age_s, bool is_secure) {
  std::string text = std::string(kSessionCookie) + "=" + std::string(value) +
                     "; Path=/; HttpOnly; SameSite=Strict; Max-Age=" + std::to_string(max_age_s);
  if (is_secure) text += "; Secure";
  return text;
}

}  // namespace leeward::daemon
