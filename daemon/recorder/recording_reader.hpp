#pragma once
/// Reads a recording: a finished one, one whose writer was killed, or one that is being written.
///
/// Read only, and in short transactions: a reader never holds up the recorder. Numbers of enums are mapped by
/// the names in the file, columns by theirs, so that a recording of another build reads as far as it can. One
/// of another schema version is refused with a sentence that says which.

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "control/engine_state.hpp"
#include "daemon/recorder/recorded_tick.hpp"
#include "daemon/recorder/recording_meta.hpp"
#include "daemon/recorder/sqlite_db.hpp"
#include "daemon/recorder/tick_reader.hpp"
#include "daemon/recorder/tick_record.hpp"

namespace leeward::daemon {

struct RecordingSummary {
  control::RunState state = control::RunState::interrupted;  ///< interrupted where no end was written
  bool ended = false;  ///< the recorder was closed; a live recording is not
  std::int64_t ended_unix_ms = 0;
  std::uint64_t ticks = 0;
  std::uint64_t first_seq = 0;
  std::uint64_t last_seq = 0;
};

class RecordingReader {
 public:
  /// Errors   io when it is no readable recording, conflict when it is of another schema version, older or
  /// newer
  [[nodiscard]] static control::Result<RecordingReader> open(const std::filesystem::path& path);

  [[nodiscard]] const std::string& run_id() const { return run_id_; }
  [[nodiscard]] std::size_t fans() const { return fans_; }
  /// Errors   also unknown_key or missing_key where the rig was described by another version
  [[nodiscard]] control::Result<RecordingMeta> meta() const;
  [[nodiscard]] control::Result<control::EngineState> initial_state() const;
  /// A text of the table meta; empty where there is none.
  [[nodiscard]] control::Result<std::string> meta_text(std::string_view key) const;
  [[nodiscard]] control::Result<RecordingSummary> summary() const;

  /// Averages and results in the order in which they were made; the last one stands.
  [[nodiscard]] control::Result<std::vector<RunSnapshot>> snapshots() const;
  [[nodiscard]] control::Result<std::optional<RunSnapshot>> last_snapshot() const;

  /// Up to `limit` ticks after `seq` (from the first where nullopt), ascending.
  [[nodiscard]] control::Result<std::vector<RecordedTick>> ticks_after(std::optional<std::uint64_t> seq,
                                                                       std::size_t limit) const;
  /// Every tick there is, in order, until `visit` answers false.
  [[nodiscard]] control::Result<void> for_each_tick(
      const std::function<bool(const RecordedTick&)>& visit) const;

  /// Columns that this version records and the file lacks; they read as their defaults.
  [[nodiscard]] const std::vector<std::string>& missing_columns() const {
    return tick_reader_.missing_columns();
  }

 private:
  explicit RecordingReader(Database db) : db_(std::move(db)) {}
  [[nodiscard]] control::Result<void> read_layout();

  Database db_;
  std::string run_id_;
  std::size_t fans_ = 0;
  TickReader tick_reader_;
};

}  // namespace leeward::daemon
