#include "daemon/config/parse_toml.hpp"

#include <toml++/toml.h>

#include "daemon/config/text_file.hpp"

namespace leeward::daemon {
namespace {

int place(toml::source_index i) { return static_cast<int>(i); }

TomlNode to_tree(const toml::node& from);

void fill_table(const toml::table& from, TomlNode& node) {
  for (const auto& [key, value] : from) {
    const toml::source_position at = key.source().begin;
    node.members.push_back({std::string(key.str()), place(at.line), place(at.column), to_tree(value)});
  }
}

// The nesting is bounded by the parser (256 deep), and so is this recursion.
TomlNode to_tree(const toml::node& from) {
  TomlNode node;
  node.line = place(from.source().begin.line);
  node.column = place(from.source().begin.column);
  if (const auto* table = from.as_table()) {
    fill_table(*table, node);
  } else if (const auto* array = from.as_array()) {
    node.kind = TomlNode::Kind::array;
    for (const toml::node& item : *array) node.items.push_back(to_tree(item));
  } else if (const auto* text = from.as_string()) {
    node.kind = TomlNode::Kind::text;
    node.text = text->get();
  } else if (const auto* integer = from.as_integer()) {
    node.kind = TomlNode::Kind::integer;
    node.integer = integer->get();
    node.number = static_cast<double>(node.integer);
  } else if (const auto* number = from.as_floating_point()) {
    node.kind = TomlNode::Kind::number;
    node.number = number->get();
  } else if (const auto* boolean = from.as_boolean()) {
    node.kind = TomlNode::Kind::boolean;
    node.boolean = boolean->get();
  } else {
    node.kind = TomlNode::Kind::date_or_time;
  }
  return node;
}

}  // namespace

std::optional<TomlNode> parse_toml(std::string_view text, Findings& findings) {
  if (!check_text(text, findings)) return std::nullopt;
  try {
    return to_tree(toml::parse(text));
  } catch (const toml::parse_error& error) {
    const toml::source_position at = error.source().begin;
    findings.error(place(at.line), place(at.column), "", std::string(error.description()));
  }
  return std::nullopt;
}

std::optional<TomlFile> parse_toml_file(const std::string& path, Findings& findings) {
  std::optional<std::string> text = read_text_file(path, findings);
  if (!text) return std::nullopt;
  std::optional<TomlNode> root = parse_toml(*text, findings);
  if (!root) return std::nullopt;
  return TomlFile{std::move(*text), std::move(*root)};
}

}  // namespace leeward::daemon
