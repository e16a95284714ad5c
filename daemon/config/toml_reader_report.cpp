/// The part of TableReader that says what is unknown or missing.

#include <algorithm>
#include <string>

#include "daemon/config/near_key.hpp"
#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {
namespace {

constexpr std::size_t kLongestShownKey = 60;

std::string cut(std::string_view key) {
  return key.size() <= kLongestShownKey ? std::string(key)
                                        : std::string(key.substr(0, kLongestShownKey)) + "...";
}

}  // namespace

void TableReader::error(const char* key, std::string text) {
  const TomlNode* node = table_->find(key);
  const TomlNode& at = node != nullptr ? *node : *table_;
  findings_->error(at.line, at.column, full_name(key), std::move(text));
}

void TableReader::warn(const char* key, std::string text) {
  const TomlNode* node = table_->find(key);
  const TomlNode& at = node != nullptr ? *node : *table_;
  findings_->warn(at.line, at.column, full_name(key), std::move(text));
}

void TableReader::conclude(const char* key, std::string text) {
  const TomlNode* node = table_->find(key);
  const TomlNode& at = node != nullptr ? *node : *table_;
  findings_->conclude(at.line, at.column, full_name(key), std::move(text));
}

void TableReader::add_file(const char* key, const std::string& path, const std::vector<FileError>& errors,
                           const std::vector<FileError>& warnings) {
  const bool is_about_the_whole = errors.size() == 1 && errors.front().line == 0;
  if (is_about_the_whole) return error(key, path + ": " + errors.front().text);
  findings_->add(errors, warnings);
}

/// @returns the known key that was meant, empty where none is near
std::string TableReader::report_unknown(const TomlMember& member) {
  std::string meant(same_key_other_unit(member.key, known_));
  std::string text = "unknown key; ";
  if (!meant.empty()) {
    text += "did you mean " + meant + ": say the unit";
  } else if (meant = nearest_word(member.key, known_); !meant.empty()) {
    text += "did you mean " + meant + "?";
  } else {
    std::vector<std::string> sorted = known_;
    std::sort(sorted.begin(), sorted.end());
    sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
    text += "known here: " + one_of(sorted);
  }
  findings_->error(member.line, member.column, cut(full_name(member.key)), text);
  return meant;
}

void TableReader::finish() {
  std::vector<std::string> meant;
  for (const TomlMember& member : table_->members) {
    if (findings_->full()) return;
    if (std::find(known_.begin(), known_.end(), member.key) == known_.end())
      meant.push_back(report_unknown(member));
  }
  for (const Missing& missing : missing_)
    if (std::find(meant.begin(), meant.end(), missing.key) == meant.end())
      findings_->error(table_->line, table_->column, full_name(missing.key), "missing: " + missing.allowed);
}

}  // namespace leeward::daemon
