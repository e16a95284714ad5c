#pragma once
/// A parsed file as a plain tree that keeps where everything stood. Only parse_toml.cpp knows the
/// parser behind it.

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace leeward::daemon {

struct TomlMember;

struct TomlNode {
  enum class Kind : std::uint8_t { table, array, text, number, integer, boolean, date_or_time };
  Kind kind = Kind::table;
  int line = 0;
  int column = 0;
  std::string text;
  double number = 0;  ///< of an integer too
  std::int64_t integer = 0;
  bool boolean = false;
  std::vector<TomlMember> members;  ///< of a table
  std::vector<TomlNode> items;      ///< of an array

  [[nodiscard]] const TomlNode* find(std::string_view key) const;
};

struct TomlMember {
  std::string key;
  int line = 0;  ///< of the key
  int column = 0;
  TomlNode value;
};

/// "a number", "a table" and so on, for messages.
[[nodiscard]] std::string_view kind_text(TomlNode::Kind kind);

}  // namespace leeward::daemon
