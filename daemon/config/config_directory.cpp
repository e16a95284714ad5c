#include "daemon/config/config_directory.hpp"

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <system_error>

#include "daemon/config/load_procedure.hpp"
#include "daemon/config/near_key.hpp"

namespace leeward::daemon {
namespace {

namespace fs = std::filesystem;

constexpr const char* kProcedures = "procedures";

bool is_folder(const fs::path& path) {
  std::error_code error;
  return fs::is_directory(path, error);
}

bool is_file(const fs::path& path) {
  std::error_code error;
  return fs::is_regular_file(path, error);
}

/// A name as our files have them: no slash, no dot in front, nothing that leaves the folder.
bool is_bare_name(std::string_view name) {
  const auto good = [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' ||
           c == '_' || c == '.';
  };
  return !name.empty() && name.size() <= control::Name::capacity() && name.front() != '.' &&
         std::all_of(name.begin(), name.end(), good);
}

}  // namespace

std::string config_directory_above(const std::string& folder) {
  for (fs::path at = fs::path(folder); !at.empty(); at = at.parent_path()) {
    for (const char* inside : {"config", "share/leeward"})
      if (is_folder(at / inside / kProcedures)) return (at / inside).string();
    if (at == at.parent_path()) break;
  }
  return {};
}

std::string default_config_directory() {
  if (const char* named = std::getenv("LEEWARD_CONFIG_DIR"); named != nullptr && *named != '\0') return named;
  std::error_code error;
  const fs::path program = fs::read_symlink("/proc/self/exe", error);
  return error ? std::string() : config_directory_above(program.parent_path().string());
}

std::vector<std::string> list_procedures(const std::string& directory) {
  std::vector<std::string> names;
  std::error_code error;
  for (fs::directory_iterator entry(fs::path(directory) / kProcedures, error), end; !error && entry != end;
       entry.increment(error)) {
    const fs::path& path = entry->path();
    if (path.extension() == ".toml" && is_bare_name(path.stem().string()) && is_file(path))
      names.push_back(path.stem().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::vector<std::string> list_procedures() { return list_procedures(default_config_directory()); }

std::optional<std::string> find_procedure(std::string_view name, const std::string& directory) {
  if (!is_bare_name(name)) return std::nullopt;
  const fs::path path = fs::path(directory) / kProcedures / (std::string(name) + ".toml");
  return is_file(path) ? std::optional(path.string()) : std::nullopt;
}

std::optional<std::string> find_procedure(std::string_view name) {
  return find_procedure(name, default_config_directory());
}

Loaded<control::ProcedureSpec> load_named_procedure(std::string_view name, const std::string& directory) {
  if (const auto path = find_procedure(name, directory)) return load_procedure(*path);
  Loaded<control::ProcedureSpec> none;
  const std::vector<std::string> names = list_procedures(directory);
  std::string text = names.empty() ? "no procedures found in " +
                                         std::string(directory.empty() ? "any known place" : directory) +
                                         "; LEEWARD_CONFIG_DIR may name the folder"
                                   : "no procedure of this name; there is " + one_of(names);
  none.errors.push_back({std::string(name.substr(0, control::Name::capacity())), 0, 0, "", std::move(text)});
  return none;
}

}  // namespace leeward::daemon
