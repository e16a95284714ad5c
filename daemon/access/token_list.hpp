#pragma once
/// The file of access tokens: name, role and hash of each; the token itself is never stored.

#include <string>
#include <string_view>
#include <vector>

#include "control/result.hpp"
#include "daemon/access/caller.hpp"
#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

struct TokenRecord {
  std::string name;  ///< a-z, 0-9 and hyphens, at most 32
  Role role = Role::viewer;
  std::string sha256;   ///< 64 hexadecimal digits
  std::string created;  ///< UTC, for people
  bool operator==(const TokenRecord&) const = default;
};

inline constexpr std::size_t kMostTokens = 100;

[[nodiscard]] bool is_token_name(std::string_view name);

/// A file that is not there holds no tokens.
/// Errors   those of a TOML file of ours; a link, another user's file, or one that others can read
[[nodiscard]] Loaded<std::vector<TokenRecord>> load_tokens(const std::string& path);

/// Written beside and moved into place, mode 0600; makes the folder (0700) where it is missing.
/// Errors   io
[[nodiscard]] control::Result<void> save_tokens(const std::string& path,
                                                const std::vector<TokenRecord>& tokens);

/// tokens.toml in the state folder.
/// Errors   io when there is no home for one
[[nodiscard]] control::Result<std::string> default_token_path();

}  // namespace leeward::daemon
