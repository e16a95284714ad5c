#pragma once
/// Checked reading of one table: every key is asked for by name with what is allowed, and what was
/// not asked for is an error. A parser alone takes an integer for a number, NaN for a number and a
/// misspelt key for a default.

#include <cstddef>
#include <cstdint>
#include <limits>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "control/fixed_text.hpp"
#include "daemon/config/file_error.hpp"
#include "daemon/config/toml_node.hpp"

namespace leeward::daemon {

enum class Need : std::uint8_t { optional, required };

/// Both ends belong to the range.
struct NumberRange {
  double low = 0;
  double high = 0;
  const char* unit = "";
};
struct IntegerRange {
  std::int64_t low = 0;
  std::int64_t high = 0;
  const char* unit = "";
};

/// "1 to 50 Hz"
[[nodiscard]] std::string range_text(const NumberRange& range);
/// Shortest text that reads back as the same number.
[[nodiscard]] std::string number_text(double value);

/// A word in a file and what it stands for.
template <class E>
struct Choice {
  const char* word;
  E value;
};

/// A read function leaves its target as it is unless the key is there and its value is allowed; then
/// it returns true. Whatever is wrong goes to the findings, with its place, and reading goes on.
class TableReader {
 public:
  /// @param table   outlives the reader
  /// @param name    dotted name of the table, empty for the file itself
  TableReader(const TomlNode& table, std::string name, Findings& findings);

  bool number(const char* key, double& out, const NumberRange& range, Need need = Need::optional);
  bool integer(const char* key, std::int64_t& out, const IntegerRange& range, Need need = Need::optional);
  bool integer(const char* key, int& out, const IntegerRange& range, Need need = Need::optional);
  bool boolean(const char* key, bool& out, Need need = Need::optional);
  /// At least one byte, at most `most_bytes`, no control characters.
  bool text(const char* key, std::string& out, std::size_t most_bytes, Need need = Need::optional);
  template <std::size_t N>
  bool text(const char* key, control::FixedText<N>& out, Need need = Need::optional) {
    std::string s;
    if (!text(key, s, N, need)) return false;
    out = control::FixedText<N>(std::string_view(s));
    return true;
  }
  template <class E>
  bool choice(const char* key, E& out, std::span<const Choice<E>> choices, Need need = Need::optional) {
    std::vector<std::string> words;
    for (const Choice<E>& c : choices) words.emplace_back(c.word);
    const std::optional<std::size_t> i = word(key, words, need);
    if (i) out = choices[*i].value;
    return i.has_value();
  }
  /// Index into `words` of the word given.
  std::optional<std::size_t> word(const char* key, std::span<const std::string> words, Need need);
  bool numbers(const char* key, std::vector<double>& out, const NumberRange& range, std::size_t fewest,
               std::size_t most, Need need = Need::optional);
  /// `["a", "b", ...]`; each text as text() takes it.
  bool texts(const char* key, std::vector<std::string>& out, std::size_t most_bytes, std::size_t most);
  /// `[[x, y], ...]`
  bool pairs(const char* key, std::vector<std::pair<double, double>>& out, const NumberRange& x,
             const NumberRange& y, std::size_t fewest, std::size_t most);
  std::optional<TableReader> table(const char* key, Need need = Need::optional);
  /// `[[key]]`, at most `most`; empty when there is none.
  std::vector<TableReader> tables(const char* key, std::size_t most, Need need = Need::optional);

  /// Known here, but not read.
  void skip(const char* key) { known_.emplace_back(key); }
  [[nodiscard]] bool has(const char* key) const { return table_->find(key) != nullptr; }
  /// At the key's value when it is there, else at the table.
  void error(const char* key, std::string text);
  void warn(const char* key, std::string text);
  /// Takes over what was found in the file that this key names; one that cannot be read at all is a wrong
  /// name, and so told of at the key.
  void add_file(const char* key, const std::string& path, const std::vector<FileError>& errors,
                const std::vector<FileError>& warnings);
  /// An error that counts only where no value is wrong by itself; see Findings.
  void conclude(const char* key, std::string text);
  /// Reports unknown and missing keys. Call it last: a missing key whose misspelling is there is said
  /// once.
  void finish();

  [[nodiscard]] const std::string& name() const { return name_; }
  [[nodiscard]] Findings& findings() { return *findings_; }

 private:
  struct Missing {
    std::string key;
    std::string allowed;
  };
  const TomlNode* seek(const char* key, Need need, const std::string& allowed);
  [[nodiscard]] std::string full_name(std::string_view key) const;
  void wrong_type(const std::string& key, const TomlNode& node, std::string_view wanted);
  bool checked_text(const std::string& key, const TomlNode& node, std::size_t most_bytes, std::string& out);
  bool checked_number(const std::string& key, const TomlNode& node, const NumberRange& range, double& out);
  bool checked_count(const std::string& key, const TomlNode& node, std::size_t fewest, std::size_t most,
                     const char* what);
  std::string report_unknown(const TomlMember& member);

  const TomlNode* table_;
  std::string name_;
  Findings* findings_;
  std::vector<std::string> known_;
  std::vector<Missing> missing_;
};

}  // namespace leeward::daemon
