#include "daemon/cli/recording_place.hpp"

#include <vector>

#include "daemon/recorder/run_store.hpp"

namespace leeward::daemon {
namespace {
namespace fs = std::filesystem;

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
}  // namespace

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
