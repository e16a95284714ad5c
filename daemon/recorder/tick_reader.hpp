#pragma once
/// Turns the rows of a recording's ticks back into samples, requests and outputs.
///
/// Columns are found by their names and the numbers of enums by theirs in the file, so that a recording of
/// another version reads as far as it can.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "daemon/recorder/recorded_tick.hpp"
#include "daemon/recorder/sqlite_db.hpp"

namespace leeward::daemon {

class TickReader {
 public:
  TickReader() = default;
  [[nodiscard]] static control::Result<TickReader> make(const Database& db, std::size_t fans);

  /// Up to `limit` ticks after `after` (from the first where nullopt), ascending.
  /// Errors   io, also where an enum's word is not known to this version
  [[nodiscard]] control::Result<std::vector<RecordedTick>> read(const Database& db,
                                                                std::optional<std::uint64_t> after,
                                                                std::size_t limit) const;

  /// Columns that this version records and the file lacks; they read as their defaults.
  [[nodiscard]] const std::vector<std::string>& missing_columns() const { return missing_columns_; }

 private:
  struct ColumnSource {
    int index = -1;                      ///< in the SELECT; -1 where the file lacks it
    std::vector<std::int64_t> enum_map;  ///< number in the file -> our number, -1 unknown here
  };
  class FieldReader;
  [[nodiscard]] control::Result<void> read_rows(const Database& db, std::optional<std::uint64_t> after,
                                                std::size_t limit, std::vector<RecordedTick>& out) const;
  [[nodiscard]] control::Result<void> read_requests(const Database& db, std::vector<RecordedTick>& out) const;
  [[nodiscard]] control::Result<void> read_events(const Database& db, std::vector<RecordedTick>& out) const;
  [[nodiscard]] control::Result<void> read_refusals(const Database& db, std::vector<RecordedTick>& out) const;

  std::size_t fans_ = 0;
  std::string select_;
  std::vector<ColumnSource> sources_;
  std::vector<std::int64_t> event_kinds_;
  std::vector<std::int64_t> refusals_;
  std::vector<std::string> missing_columns_;
};

}  // namespace leeward::daemon
