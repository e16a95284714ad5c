#include "daemon/cli/recording_place.hpp"

#include <chrono>
#include <optional>
#include <vector>

#include <nlohmann/json.hpp>

#include "daemon/recorder/run_store.hpp"

namespace leeward::daemon {
namespace {
namespace fs = std::filesystem;

// A daemon that does not answer must not keep from a recording that is there.
constexpr std::chrono::seconds kDaemonPatience{3};

std::vector<fs::path> folders_of(const std::string& state) {
  if (!state.empty()) return {fs::path(state), fs::path(state) / "runs"};
  const auto usual = default_runs_directory();
  return usual ? std::vector<fs::path>{*usual} : std::vector<fs::path>{};
}

Failure not_found(const std::string& recording, const std::vector<fs::path>& folders) {
  std::string looked;
  for (const fs::path& folder : folders) looked += (looked.empty() ? "" : " and ") + folder.string();
  return {exit_data, "no_recording",
          "there is no recording " + recording + (looked.empty() ? "" : " in " + looked),
          "a daemon may keep its recordings elsewhere, and says where when it starts: give that folder as "
          "--state DIR, or the file itself; leeward runs lists the runs"};
}

/// Nothing where no daemon answers, or the one that answers does not know the run.
std::optional<fs::path> path_from_daemon(const std::string& run, const Target& target) {
  auto client = link_to(target);
  if (!client) return std::nullopt;
  client->set_timeout(kDaemonPatience);
  const auto entry = call(*client, "GET", "/v1/runs/" + run);
  if (!entry || !entry->is_object() || !entry->contains("recording")) return std::nullopt;
  const nlohmann::json& path = entry->at("recording");
  std::error_code ignored;
  if (!path.is_string() || !fs::is_regular_file(path.get<std::string>(), ignored)) return std::nullopt;
  return fs::path(path.get<std::string>());
}
}  // namespace

bool is_run_id(const std::string& text) {
  return !text.empty() &&
         text.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos;
}

Attempt<fs::path> find_recording(const std::string& recording, const std::string& state,
                                 const Target& target) {
  std::error_code ignored;
  if (state.empty() && is_run_id(recording) && !fs::is_regular_file(recording, ignored))
    if (auto path = path_from_daemon(recording, target)) return std::move(*path);
  return find_recording(recording, state);
}

Attempt<fs::path> find_recording(const std::string& recording, const std::string& state) {
  std::error_code ignored;
  if (fs::is_regular_file(recording, ignored)) return fs::path(recording);
  const std::vector<fs::path> folders = folders_of(state);
  for (const fs::path& folder : folders) {
    // Opening a store makes its folder; whoever only looks shall leave nothing behind.
    if (!fs::is_directory(folder, ignored)) continue;
    const auto store = RunStore::open(folder);
    if (!store) continue;
    if (const auto found = store->find(recording)) return *found;
  }
  return tl::unexpected(not_found(recording, folders));
}

}  // namespace leeward::daemon
