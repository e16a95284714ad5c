#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "daemon/config/file_error.hpp"
#include "daemon/config/toml_node.hpp"

namespace leeward::daemon {

/// The text as a tree.
/// Errors   those of check_text, and the first syntax error: the parser stops there
[[nodiscard]] std::optional<TomlNode> parse_toml(std::string_view text, Findings& findings);

/// A file read and parsed.
struct TomlFile {
  std::string text;
  TomlNode root;
};
[[nodiscard]] std::optional<TomlFile> parse_toml_file(const std::string& path, Findings& findings);

}  // namespace leeward::daemon
