#include "daemon/access/token_list.hpp"

#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

#include "daemon/access/private_file.hpp"
#include "daemon/config/parse_toml.hpp"
#include "daemon/config/toml_reader.hpp"
#include "daemon/recorder/run_store.hpp"

namespace leeward::daemon {
namespace {
constexpr std::size_t kLongestName = 32;
constexpr std::size_t kHashDigits = 64;
constexpr std::array kRoles =
    std::to_array<Choice<Role>>({{"viewer", Role::viewer}, {"operator", Role::operating}});

bool is_hash(const std::string& text) {
  return text.size() == kHashDigits && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

TokenRecord read_token(TableReader& entry) {
  TokenRecord token;
  if (entry.text("name", token.name, kLongestName, Need::required) && !is_token_name(token.name))
    entry.error("name", "may hold only a-z, 0-9 and hyphens");
  entry.choice<Role>("role", token.role, kRoles, Need::required);
  if (entry.text("sha256", token.sha256, kHashDigits, Need::required) && !is_hash(token.sha256))
    entry.error("sha256", "must be 64 hexadecimal digits; leeward token makes them");
  entry.text("created", token.created, kLongestName);
  entry.finish();
  return token;
}
}  // namespace

bool is_token_name(std::string_view name) {
  return !name.empty() && name.size() <= kLongestName &&
         name.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string_view::npos;
}

Loaded<std::vector<TokenRecord>> load_tokens(const std::string& path) {
  Findings findings(path);
  std::vector<TokenRecord> tokens;
  const PrivateFile state = private_file_state(path);
  if (state.fault == PrivateFault::absent) return loaded(std::move(tokens), std::move(findings));
  if (state.fault != PrivateFault::none) {
    findings.error(0, 0, "", private_fault_text(state.fault));
    return loaded(std::move(tokens), std::move(findings));
  }
  if (const auto file = parse_toml_file(path, findings)) {
    TableReader root(file->root, "", findings);
    for (TableReader& entry : root.tables("token", kMostTokens)) tokens.push_back(read_token(entry));
    root.finish();
  }
  for (std::size_t i = 0; i < tokens.size(); ++i)
    for (std::size_t k = 0; k < i; ++k)
      if (tokens[i].name == tokens[k].name)
        findings.error(0, 0, "", "two tokens have the name " + tokens[i].name);
  return loaded(std::move(tokens), std::move(findings));
}

control::Result<void> save_tokens(const std::string& path, const std::vector<TokenRecord>& tokens) {
  std::string text =
      "# Access tokens of the Leeward daemon, hashed: the tokens themselves stand nowhere.\n"
      "# Made and revoked by `leeward token`; the daemon reads changes by itself.\n";
  for (const TokenRecord& token : tokens)
    text += "\n[[token]]\nname = \"" + token.name + "\"\nrole = \"" + std::string(role_name(token.role)) +
            "\"\nsha256 = \"" + token.sha256 + "\"\ncreated = \"" + token.created + "\"\n";
  return write_private_file(path, text);
}

control::Result<std::string> default_token_path() {
  const auto runs = default_runs_directory();
  if (!runs) return tl::unexpected(runs.error());
  return (runs->parent_path() / "tokens.toml").string();
}

}  // namespace leeward::daemon
