#include "daemon/tune/regulator_toml.hpp"

#include <cctype>
#include <filesystem>
#include <sstream>
#include <string_view>

#include "daemon/config/rig_keys.hpp"
#include "daemon/config/toml_reader.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {

namespace fs = std::filesystem;

std::string without_blanks(std::string_view line) {
  std::string out;
  for (const char c : line)
    if (std::isspace(static_cast<unsigned char>(c)) == 0) out += c;
  return out;
}

/// TOML wants a point or an exponent in a number that is no integer; both are numbers to our loaders.
std::string key_line(const char* key, double value, const KeyRule& rule) {
  std::string line = std::string(key) + " = " + number_text(value);
  if (line.size() < 36) line.resize(36, ' ');
  line += std::string(" # ") + (rule.unit[0] != 0 ? std::string(rule.unit) + ": " : std::string());
  return line + rule.help + "\n";
}

bool is_path_key(const std::string& bare) {
  for (const char* key : {"file=\"", "house=\"", "socket=\"", "token_file=\"", "directory=\""})
    if (bare.starts_with(key)) return true;
  return false;
}

/// A line `key = "path"` whose path leads to the same place from another folder.
std::string moved_line(const std::string& line, const fs::path& from, const fs::path& to) {
  if (!is_path_key(without_blanks(line))) return line;
  const std::size_t begin = line.find('"') + 1;
  const std::size_t end = line.find('"', begin);
  if (end == std::string::npos || line.find('\\') != std::string::npos) return line;
  const fs::path path = line.substr(begin, end - begin);
  if (path.is_absolute()) return line;
  const fs::path moved = (from / path).lexically_normal().lexically_relative(to);
  return line.substr(0, begin) + (moved.empty() ? path : moved).string() + line.substr(end);
}

fs::path folder_of(const std::string& file) {
  std::error_code error;
  const fs::path whole = fs::weakly_canonical(fs::path(file), error);
  return (error ? fs::absolute(fs::path(file), error) : whole).parent_path();
}

}  // namespace

std::string regulator_table(const control::RegulatorSpec& regulator) {
  std::string out = "[regulator]\nlaw = \"" + std::string(name_of(regulator.law)) + "\"\n";
  for (const auto& key : kRegulatorKeys) out += key_line(key.rule.key, regulator.*key.member, key.rule);
  return out;
}

std::string rig_with_regulator(const std::string& rig_text, const control::RegulatorSpec& regulator,
                               const std::string& from_file, const std::string& to_file) {
  const fs::path from = folder_of(from_file);
  const fs::path to = folder_of(to_file);
  std::istringstream lines(rig_text);
  std::string out;
  bool is_in_table = false;
  for (std::string line; std::getline(lines, line);) {
    const std::string bare = without_blanks(line);
    if (bare.starts_with("[")) is_in_table = bare.starts_with("[regulator]");
    if (!is_in_table) out += moved_line(line, from, to) + "\n";
  }
  while (out.ends_with("\n\n")) out.pop_back();
  return out + "\n" + regulator_table(regulator);
}

}  // namespace leeward::daemon
