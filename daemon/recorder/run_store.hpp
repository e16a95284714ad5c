#pragma once
/// The directory of recordings: one file a run, named by the run's id.

#include <cstdint>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "control/phase.hpp"
#include "control/result.hpp"

namespace leeward::daemon {

struct RunEntry {
  std::string id;
  control::RunState state = control::RunState::interrupted;
  bool readable = true;  ///< false: the file is damaged or of a newer version; the rest is then empty
  std::string procedure;
  std::string building;
  std::int64_t started_unix_ms = 0;
};

class RunStore {
 public:
  /// Makes the directory where it is not there.
  /// Errors   io
  [[nodiscard]] static control::Result<RunStore> open(const std::filesystem::path& directory);

  /// Every recording, newest first. The state of the one being written is `interrupted`: only its writer
  /// knows better.
  [[nodiscard]] std::vector<RunEntry> list() const;
  /// `run-20261125-140733` from the calendar time in UTC; a number is added where that one is there already.
  [[nodiscard]] std::string new_id(std::int64_t unix_ms) const;
  /// Where a run of this id is or will be.
  [[nodiscard]] std::filesystem::path path_of(std::string_view id) const;
  /// Errors   out_of_range when the text is no run id, missing_key when there is no such run
  [[nodiscard]] control::Result<std::filesystem::path> find(std::string_view id) const;
  /// Space that is left on the disk, for refusing a run that could not be recorded.
  [[nodiscard]] std::uint64_t free_bytes() const;
  [[nodiscard]] const std::filesystem::path& directory() const { return directory_; }

 private:
  explicit RunStore(std::filesystem::path directory) : directory_(std::move(directory)) {}
  std::filesystem::path directory_;
};

/// $STATE_DIRECTORY/runs, else $XDG_STATE_HOME/leeward/runs, else ~/.local/state/leeward/runs.
/// Errors   io when none of them is set
[[nodiscard]] control::Result<std::filesystem::path> default_runs_directory();

}  // namespace leeward::daemon
