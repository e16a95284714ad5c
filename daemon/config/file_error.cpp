#include "daemon/config/file_error.hpp"

#include <algorithm>
#include <tuple>

namespace leeward::daemon {

std::string to_text(const FileError& error) {
  std::string out = error.file;
  if (error.line > 0) out += ":" + std::to_string(error.line) + ":" + std::to_string(error.column);
  if (!error.key.empty()) out += ": " + error.key;
  return out + ": " + error.text;
}

std::string to_text(const std::vector<FileError>& errors) {
  std::string out;
  for (const FileError& error : errors) out += to_text(error) + "\n";
  return out;
}

void Findings::error(int line, int column, std::string key, std::string text) {
  if (full()) return;
  errors.push_back({file, line, column, std::move(key), std::move(text)});
  if (full()) errors.push_back({file, 0, 0, "", "more errors follow; the first ones are shown"});
}

void Findings::warn(int line, int column, std::string key, std::string text) {
  if (warnings.size() >= kMostErrors) return;
  warnings.push_back({file, line, column, std::move(key), std::move(text)});
}

void Findings::add(const std::vector<FileError>& more_errors, const std::vector<FileError>& more_warnings) {
  errors.insert(errors.end(), more_errors.begin(), more_errors.end());
  warnings.insert(warnings.end(), more_warnings.begin(), more_warnings.end());
}

void Findings::sort_by_place() {
  const auto before = [](const FileError& a, const FileError& b) {
    if (a.file != b.file) return false;  // another file's findings stay together, where they were added
    return std::tie(a.line, a.column) < std::tie(b.line, b.column);
  };
  const auto sort_runs = [&before](std::vector<FileError>& list) {
    for (auto from = list.begin(); from != list.end();) {
      const auto to =
          std::find_if(from, list.end(), [&](const FileError& e) { return e.file != from->file; });
      std::stable_sort(from, to, before);
      from = to;
    }
  };
  sort_runs(errors);
  sort_runs(warnings);
}

}  // namespace leeward::daemon
