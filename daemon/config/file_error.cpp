#include "daemon/config/file_error.hpp"

#include <algorithm>
#include <tuple>

namespace leeward::daemon {
namespace {

/// Another file's findings stay together, where they were added.
void sort_by_place(std::vector<FileError>& list) {
  const auto before = [](const FileError& a, const FileError& b) {
    return std::tie(a.line, a.column) < std::tie(b.line, b.column);
  };
  for (auto from = list.begin(); from != list.end();) {
    const auto to = std::find_if(from, list.end(), [&](const FileError& e) { return e.file != from->file; });
    std::stable_sort(from, to, before);
    from = to;
  }
}

void add_new(std::vector<FileError>& list, const std::vector<FileError>& more) {
  for (const FileError& finding : more)
    if (std::find(list.begin(), list.end(), finding) == list.end()) list.push_back(finding);
}

}  // namespace

std::string to_text(const FileError& error) {
  std::string out = error.file;
  if (error.line > 0) out += ":" + std::to_string(error.line) + ":" + std::to_string(error.column);
  if (!error.key.empty()) out += ": " + error.key;
  return out + ": " + error.text;
}

std::string to_text(const std::vector<FileError>& errors) {
  std::string out;
  for (const FileError& error : errors) out += (out.empty() ? "" : "\n") + to_text(error);
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

void Findings::conclude(int line, int column, std::string key, std::string text) {
  if (conclusions.size() >= kMostErrors) return;
  conclusions.push_back({file, line, column, std::move(key), std::move(text)});
}

void Findings::add(const std::vector<FileError>& more_errors, const std::vector<FileError>& more_warnings) {
  add_new(errors, more_errors);
  add_new(warnings, more_warnings);
}

void Findings::close() {
  if (errors.empty()) errors = std::move(conclusions);
  conclusions.clear();
  if (!errors.empty()) warnings.clear();
  sort_by_place(errors);
  sort_by_place(warnings);
}

}  // namespace leeward::daemon
