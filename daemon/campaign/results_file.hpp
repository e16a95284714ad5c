#pragma once
/// What has been run so far, on disk: one line a run, only ever added to, so that a kill at any moment costs
/// no more than the line that was being written.

#include <filesystem>
#include <map>
#include <string>

#include "control/result.hpp"
#include "daemon/campaign/run_job.hpp"

namespace leeward::daemon {

struct Shard {
  int index = 1;  ///< from 1
  int count = 1;
  bool operator==(const Shard&) const = default;
  [[nodiscard]] bool holds(const Outline& outline, const Job& job) const {
    return static_cast<int>((job.seed - outline.seed) % static_cast<std::uint64_t>(count)) == index - 1;
  }
};

using Rows = std::map<std::size_t, RunRow>;  ///< by the number of the job

struct StoredResults {
  Outline outline;
  Shard shard;
  Rows rows;
  std::size_t whole_bytes = 0;  ///< up to the end of the last whole line
};

inline constexpr const char* kResultsName = "runs.log";

/// Lines that are torn or changed are left out: their runs count as not done.
/// Errors   io; wrong_type where the first line is not that of such a file
[[nodiscard]] control::Result<StoredResults> read_results(const std::filesystem::path& folder);

/// The open file, locked against a second campaign.
class ResultsFile {
 public:
  /// Makes the folder and the file, or goes on where `go_on` is set and there is a file.
  /// Errors   io; busy where another process has it; conflict where it holds another campaign, or where there
  ///          is one and going on was not asked for
  [[nodiscard]] static control::Result<ResultsFile> open(const std::filesystem::path& folder,
                                                         const Outline& outline, Shard shard, bool go_on);
  ResultsFile(ResultsFile&& other) noexcept;
  ResultsFile& operator=(ResultsFile&& other) = delete;
  ~ResultsFile();
  /// What was there when it was opened.
  [[nodiscard]] const Rows& rows() const { return rows_; }
  /// Errors   io
  [[nodiscard]] control::Result<void> append(const RunRow& row);

 private:
  explicit ResultsFile(int fd) : fd_(fd) {}
  [[nodiscard]] control::Result<void> take_stored(const std::filesystem::path& folder, const Outline& outline,
                                                  Shard shard);
  [[nodiscard]] control::Result<void> write_all(const std::string& text);
  int fd_ = -1;
  Rows rows_;
};

}  // namespace leeward::daemon
