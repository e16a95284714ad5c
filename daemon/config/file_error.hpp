#pragma once
/// What is wrong with a file of ours, so that a person finds the place and knows what is allowed.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace leeward::daemon {

/// `line` and `column` count from 1; 0 where the file as a whole is meant. `key` is the dotted name,
/// entries of an array counted from 0, as in `device.channel[2].type`; empty where no key is meant.
struct FileError {
  std::string file;
  int line = 0;
  int column = 0;
  std::string key;
  std::string text;
  bool operator==(const FileError&) const = default;
};

/// `file:line:column: key: text`; a place or key that is not known is left out.
[[nodiscard]] std::string to_text(const FileError& error);

/// One line for each.
[[nodiscard]] std::string to_text(const std::vector<FileError>& errors);

/// Everything found in one go, causes only. Kept to a number that a person can read: a hostile file of a
/// megabyte could hold a hundred thousand mistakes.
struct Findings {
  static constexpr std::size_t kMostErrors = 100;
  std::string file;
  std::vector<FileError> errors;
  std::vector<FileError> warnings;
  std::vector<FileError> conclusions;

  explicit Findings(std::string file_name) : file(std::move(file_name)) {}
  [[nodiscard]] bool full() const { return errors.size() >= kMostErrors; }
  void error(int line, int column, std::string key, std::string text);
  void warn(int line, int column, std::string key, std::string text);
  /// An error drawn from several values together. It counts only where no value is wrong by itself: a
  /// misspelt key leaves a default, and what follows from the default is no news.
  void conclude(int line, int column, std::string key, std::string text);
  /// Takes over what was found in another file that this one names.
  /// A file that is named twice is told of once.
  void add(const std::vector<FileError>& more_errors, const std::vector<FileError>& more_warnings);
  /// Settles what is told: with errors neither conclusions nor warnings, which may follow from them. In the
  /// order of the lines of each file.
  void close();
};

/// What a loader gives back: the value, or why there is none. Warnings come with both.
template <class T>
struct Loaded {
  std::optional<T> value;  ///< only when there are no errors
  std::vector<FileError> errors;
  std::vector<FileError> warnings;
  [[nodiscard]] explicit operator bool() const { return value.has_value(); }
};

/// Closes a loader: the value goes out only without errors.
template <class T>
[[nodiscard]] Loaded<T> loaded(T value, Findings findings) {
  findings.close();
  Loaded<T> out{.value = std::nullopt, .errors = {}, .warnings = std::move(findings.warnings)};
  if (findings.errors.empty()) out.value = std::move(value);
  out.errors = std::move(findings.errors);
  return out;
}

}  // namespace leeward::daemon
