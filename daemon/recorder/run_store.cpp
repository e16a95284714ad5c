#include "daemon/recorder/run_store.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <ctime>

#include "daemon/recorder/recording_reader.hpp"

namespace leeward::daemon {

namespace {

namespace fs = std::filesystem;
using control::Errc;
using control::Error;
using control::Result;

constexpr std::string_view kEnding = ".leeward";
constexpr std::size_t kIdMax = 64;

/// An id becomes a file name, so nothing in it may mean anything to the file system.
bool is_run_id(std::string_view id) {
  if (!id.starts_with("run-") || id.size() > kIdMax) return false;
  return id.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string_view::npos;
}

RunEntry entry_of(const std::string& id, const fs::path& path) {
  RunEntry entry;
  entry.id = id;
  const auto reader = RecordingReader::open(path);
  entry.readable = reader.has_value();
  if (!reader) return entry;
  const auto summary = reader->summary();
  entry.readable = summary.has_value();
  if (!summary) return entry;
  entry.state = summary->state;
  entry.procedure = reader->meta_text("procedure").value_or("");
  entry.building = reader->meta_text("building").value_or("");
  entry.started_unix_ms =
      std::strtoll(reader->meta_text("started_unix_ms").value_or("0").c_str(), nullptr, 10);
  return entry;
}

const char* set_variable(const char* name) {
  const char* value = std::getenv(name);
  return value != nullptr && *value != '\0' ? value : nullptr;
}

}  // namespace

Result<RunStore> RunStore::open(const fs::path& directory) {
  std::error_code error;
  fs::create_directories(directory, error);
  if (error) return tl::unexpected(Error{Errc::io, directory.string(), error.message()});
  return RunStore(directory);
}

std::vector<RunEntry> RunStore::list() const {
  std::vector<RunEntry> runs;
  std::error_code error;
  for (fs::directory_iterator it(directory_, error), end; !error && it != end; it.increment(error)) {
    const fs::path& path = it->path();
    const std::string id = path.stem().string();
    if (path.extension() == kEnding && is_run_id(id)) runs.push_back(entry_of(id, path));
  }
  std::sort(runs.begin(), runs.end(), [](const RunEntry& a, const RunEntry& b) {
    return std::pair(a.started_unix_ms, a.id) > std::pair(b.started_unix_ms, b.id);
  });
  return runs;
}

std::string RunStore::new_id(std::int64_t unix_ms) const {
  const std::time_t seconds = static_cast<std::time_t>(unix_ms / 1000);
  std::tm utc{};
  gmtime_r(&seconds, &utc);
  std::array<char, 40> text{};
  const std::size_t size = std::strftime(text.data(), text.size(), "run-%Y%m%d-%H%M%S", &utc);
  const std::string first(text.data(), size);
  std::string id = first;
  std::error_code ignored;
  for (int i = 2; fs::exists(path_of(id), ignored); ++i) id = first + "-" + std::to_string(i);
  return id;
}

fs::path RunStore::path_of(std::string_view id) const {
  return directory_ / (std::string(id) + std::string(kEnding));
}

Result<fs::path> RunStore::find(std::string_view id) const {
  if (!is_run_id(id)) return tl::unexpected(Error{Errc::out_of_range, "run_id", "is not a run id"});
  fs::path path = path_of(id);
  std::error_code ignored;
  if (!fs::is_regular_file(path, ignored))
    return tl::unexpected(Error{Errc::missing_key, "run_id", "there is no run " + std::string(id)});
  return path;
}

std::uint64_t RunStore::free_bytes() const {
  std::error_code error;
  const fs::space_info space = fs::space(directory_, error);
  return error ? 0 : space.available;
}

Result<fs::path> default_runs_directory() {
  if (const char* state = set_variable("STATE_DIRECTORY")) {
    // systemd gives a list with colons when a unit has several.
    const std::string_view list(state);
    return fs::path(list.substr(0, list.find(':'))) / "runs";
  }
  if (const char* state = set_variable("XDG_STATE_HOME")) return fs::path(state) / "leeward" / "runs";
  if (const char* home = set_variable("HOME"))
    return fs::path(home) / ".local" / "state" / "leeward" / "runs";
  return tl::unexpected(Error{Errc::io, "HOME", "is not set, so there is no place for recordings"});
}

}  // namespace leeward::daemon
