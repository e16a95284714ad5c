#include "daemon/access/gate.hpp"

#include "daemon/access/lower_case.hpp"
#include "daemon/access/secret.hpp"
#include "daemon/access/session_cookie.hpp"

namespace leeward::daemon {
namespace {
using control::Errc;
using control::Error;
using control::Result;

/// "Bearer TOKEN"; empty for another scheme.
std::string_view bearer(std::string_view authorization) {
  constexpr std::string_view kScheme = "bearer ";
  if (lower_case(authorization.substr(0, kScheme.size())) != kScheme) return {};
  return authorization.substr(kScheme.size());
}

Result<std::string> session_key(const std::string& path) {
  constexpr std::size_t kLeastBytes = 32;
  if (private_file_state(path).fault != PrivateFault::absent) {
    auto key = read_private_line(path);
    if (key && key->size() < kLeastBytes)
      return tl::unexpected(Error{Errc::out_of_range, path, "is too short for a key: remove it"});
    return key;
  }
  auto key = new_secret();
  if (!key) return key;
  if (auto written = write_private_file(path, *key + "\n"); !written) return tl::unexpected(written.error());
  return key;
}
}  // namespace

Result<Gate> Gate::open(const std::string& token_path) {
  const PrivateFault fault = private_file_state(token_path).fault;
  if (fault != PrivateFault::none && fault != PrivateFault::absent)
    return tl::unexpected(Error{fault == PrivateFault::unreadable ? Errc::io : Errc::conflict,
                                "listen.token_file", token_path + " " + private_fault_text(fault)});
  if (const auto tokens = load_tokens(token_path); !tokens)
    return tl::unexpected(Error{Errc::out_of_range, "listen.token_file", to_text(tokens.errors)});
  auto key = session_key(token_path + ".session-key");
  if (!key)
    return tl::unexpected(
        Error{key.error().code, "listen.token_file", key.error().field + " " + key.error().text});
  Gate gate(token_path, std::move(*key));
  gate.refresh();
  return gate;
}

void Gate::refresh() {
  const PrivateFile now = private_file_state(path_);
  if (now == seen_) return;
  seen_ = now;
  auto tokens = load_tokens(path_);
  tokens_ = tokens ? std::move(*tokens.value) : std::vector<TokenRecord>{};
}

const TokenRecord* Gate::find_token(std::string_view token) {
  refresh();
  if (token.empty()) return nullptr;
  const std::string hash = sha256_hex(token);
  const TokenRecord* found = nullptr;
  for (const TokenRecord& record : tokens_)
    if (same_secret(hash, record.sha256)) found = &record;
  return found;
}

std::optional<Caller> Gate::identify(std::string_view authorization, std::string_view cookie,
                                     std::int64_t now_unix_s) {
  if (const TokenRecord* record = find_token(bearer(authorization)))
    return Caller{record->name, record->role, false};
  const std::string_view value = cookie_value(cookie, kSessionCookie);
  for (const TokenRecord& record : tokens_)
    if (record.name == claimed_name(value) && session_holds(value, record, now_unix_s, key_))
      return Caller{record.name, record.role, true};
  return std::nullopt;
}

std::string Gate::session_of(const TokenRecord& token, std::int64_t now_unix_s) const {
  return sign_session(token, now_unix_s + kSessionSeconds, key_);
}

}  // namespace leeward::daemon
