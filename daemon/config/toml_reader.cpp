#include "daemon/config/toml_reader.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "daemon/config/near_key.hpp"

namespace leeward::daemon {
namespace {

using Kind = TomlNode::Kind;

bool has_control_characters(std::string_view s) {
  return std::any_of(s.begin(), s.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 || byte == 0x7F;
  });
}

std::string with_unit(std::string text, const char* unit) {
  if (*unit != '\0') text += std::string(" ") + unit;
  return text;
}

std::string entry_name(const std::string& key, std::size_t i) { return key + "[" + std::to_string(i) + "]"; }

/// A name from the file inside a message: a hostile one may be very long.
std::string shown(std::string_view word) {
  constexpr std::size_t kShown = 60;
  return word.size() <= kShown ? std::string(word) : std::string(word.substr(0, kShown)) + "...";
}

}  // namespace

std::string number_text(double value) {
  std::array<char, 40> buffer{};
  const bool plain = value == 0 || (std::abs(value) >= 1e-4 && std::abs(value) < 1e15);
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value,
                                 plain ? std::chars_format::fixed : std::chars_format::general);
  return std::string(buffer.data(), end.ptr);
}

std::string range_text(const NumberRange& range) {
  return with_unit(number_text(range.low) + " to " + number_text(range.high), range.unit);
}

TableReader::TableReader(const TomlNode& table, std::string name, Findings& findings)
    : table_(&table), name_(std::move(name)), findings_(&findings) {}

std::string TableReader::full_name(std::string_view key) const {
  return name_.empty() ? std::string(key) : name_ + "." + std::string(key);
}

const TomlNode* TableReader::seek(const char* key, Need need, const std::string& allowed) {
  known_.emplace_back(key);
  const TomlNode* node = table_->find(key);
  if (node == nullptr && need == Need::required) missing_.push_back({key, allowed});
  return node;
}

void TableReader::wrong_type(const std::string& key, const TomlNode& node, std::string_view wanted) {
  findings_->error(node.line, node.column, key,
                   "must be " + std::string(wanted) + ", is " + std::string(kind_text(node.kind)));
}

bool TableReader::checked_number(const std::string& key, const TomlNode& node, const NumberRange& range,
                                 double& out) {
  if (node.kind != Kind::number && node.kind != Kind::integer) {
    wrong_type(key, node, "a number, " + range_text(range));
    return false;
  }
  // Written so that NaN fails too.
  if (!std::isfinite(node.number) || !(node.number >= range.low && node.number <= range.high)) {
    findings_->error(node.line, node.column, key,
                     "must be " + range_text(range) + ", is " + number_text(node.number));
    return false;
  }
  out = node.number;
  return true;
}

bool TableReader::number(const char* key, double& out, const NumberRange& range, Need need) {
  const TomlNode* node = seek(key, need, "a number, " + range_text(range));
  return node != nullptr && checked_number(full_name(key), *node, range, out);
}

bool TableReader::integer(const char* key, std::int64_t& out, const IntegerRange& range, Need need) {
  const std::string allowed =
      with_unit(std::to_string(range.low) + " to " + std::to_string(range.high), range.unit);
  const TomlNode* node = seek(key, need, "a whole number, " + allowed);
  if (node == nullptr) return false;
  if (node->kind != Kind::integer) {
    wrong_type(full_name(key), *node, "a whole number, " + allowed);
    return false;
  }
  if (node->integer < range.low || node->integer > range.high) {
    error(key, "must be " + allowed + ", is " + std::to_string(node->integer));
    return false;
  }
  out = node->integer;
  return true;
}

bool TableReader::integer(const char* key, int& out, const IntegerRange& range, Need need) {
  std::int64_t wide = 0;
  if (!integer(key, wide, range, need)) return false;
  out = static_cast<int>(wide);
  return true;
}

bool TableReader::boolean(const char* key, bool& out, Need need) {
  const TomlNode* node = seek(key, need, "true or false");
  if (node == nullptr) return false;
  if (node->kind != Kind::boolean) {
    wrong_type(full_name(key), *node, "true or false");
    return false;
  }
  out = node->boolean;
  return true;
}

bool TableReader::checked_text(const std::string& key, const TomlNode& node, std::size_t most_bytes,
                               std::string& out) {
  if (node.kind != Kind::text) {
    wrong_type(key, node, "a text in quotation marks");
    return false;
  }
  const std::size_t size = node.text.size();
  if (size == 0 || size > most_bytes) {
    findings_->error(
        node.line, node.column, key,
        "must be a text of 1 to " + std::to_string(most_bytes) + " bytes, has " + std::to_string(size));
    return false;
  }
  if (has_control_characters(node.text)) {
    findings_->error(node.line, node.column, key, "must be one line of text without control characters");
    return false;
  }
  out = node.text;
  return true;
}

bool TableReader::text(const char* key, std::string& out, std::size_t most_bytes, Need need) {
  const TomlNode* node = seek(key, need, "a text of 1 to " + std::to_string(most_bytes) + " bytes");
  return node != nullptr && checked_text(full_name(key), *node, most_bytes, out);
}

bool TableReader::texts(const char* key, std::vector<std::string>& out, std::size_t most_bytes,
                        std::size_t most) {
  const TomlNode* node = seek(key, Need::optional, "");
  const std::string full = full_name(key);
  if (node == nullptr || !checked_count(full, *node, 0, most, "texts")) return false;
  std::vector<std::string> values(node->items.size());
  bool good = true;
  for (std::size_t i = 0; i < values.size(); ++i)
    good = checked_text(entry_name(full, i), node->items[i], most_bytes, values[i]) && good;
  if (good) out = std::move(values);
  return good;
}

std::optional<std::size_t> TableReader::word(const char* key, std::span<const std::string> words, Need need) {
  const TomlNode* node = seek(key, need, one_of(words));
  if (node == nullptr) return std::nullopt;
  if (node->kind != Kind::text) {
    wrong_type(full_name(key), *node, one_of(words) + ", in quotation marks");
    return std::nullopt;
  }
  const auto found = std::find(words.begin(), words.end(), node->text);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  error(key, "must be " + one_of(words) + ", is \"" + shown(node->text) + "\"");
  return std::nullopt;
}

bool TableReader::checked_count(const std::string& key, const TomlNode& node, std::size_t fewest,
                                std::size_t most, const char* what) {
  const std::string allowed =
      "must be an array of " + std::to_string(fewest) + " to " + std::to_string(most) + " " + what;
  if (node.kind != Kind::array) {
    findings_->error(node.line, node.column, key, allowed + ", is " + std::string(kind_text(node.kind)));
    return false;
  }
  if (node.items.size() >= fewest && node.items.size() <= most) return true;
  findings_->error(node.line, node.column, key, allowed + ", has " + std::to_string(node.items.size()));
  return false;
}

bool TableReader::numbers(const char* key, std::vector<double>& out, const NumberRange& range,
                          std::size_t fewest, std::size_t most, Need need) {
  const TomlNode* node = seek(key, need, "an array of numbers, " + range_text(range));
  const std::string full = full_name(key);
  if (node == nullptr || !checked_count(full, *node, fewest, most, "numbers")) return false;
  std::vector<double> values(node->items.size());
  bool good = true;
  for (std::size_t i = 0; i < values.size(); ++i)
    good = checked_number(entry_name(full, i), node->items[i], range, values[i]) && good;
  if (good) out = std::move(values);
  return good;
}

bool TableReader::pairs(const char* key, std::vector<std::pair<double, double>>& out, const NumberRange& x,
                        const NumberRange& y, std::size_t fewest, std::size_t most) {
  const TomlNode* node = seek(key, Need::optional, "");
  const std::string full = full_name(key);
  if (node == nullptr || !checked_count(full, *node, fewest, most, "pairs of numbers")) return false;
  std::vector<std::pair<double, double>> values(node->items.size());
  bool good = true;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const TomlNode& pair = node->items[i];
    const std::string entry = entry_name(full, i);
    if (!checked_count(entry, pair, 2, 2, "numbers")) {
      good = false;
      continue;
    }
    good = checked_number(entry + "[0]", pair.items[0], x, values[i].first) && good;
    good = checked_number(entry + "[1]", pair.items[1], y, values[i].second) && good;
  }
  if (good) out = std::move(values);
  return good;
}

std::optional<TableReader> TableReader::table(const char* key, Need need) {
  const TomlNode* node = seek(key, need, "a table, [" + full_name(key) + "]");
  if (node == nullptr) return std::nullopt;
  if (node->kind == Kind::table) return TableReader(*node, full_name(key), *findings_);
  wrong_type(full_name(key), *node, "a table, [" + full_name(key) + "]");
  return std::nullopt;
}

std::vector<TableReader> TableReader::tables(const char* key, std::size_t most, Need need) {
  const std::string full = full_name(key);
  const TomlNode* node = seek(key, need, "at least one [[" + full + "]]");
  std::vector<TableReader> out;
  if (node == nullptr) return out;
  if (node->kind == Kind::table) {
    findings_->error(node->line, node->column, full, "must be written [[" + full + "]], one for each entry");
    return out;
  }
  if (!checked_count(full, *node, need == Need::required ? 1 : 0, most, "tables")) return out;
  for (std::size_t i = 0; i < node->items.size(); ++i) {
    if (node->items[i].kind == Kind::table)
      out.emplace_back(node->items[i], entry_name(full, i), *findings_);
    else
      wrong_type(entry_name(full, i), node->items[i], "a table");
  }
  return out;
}

}  // namespace leeward::daemon
