#pragma once
/// Pressures and flows that were measured elsewhere, as a table.

#include <optional>
#include <string>
#include <vector>

#include "control/analysis/run_record.hpp"
#include "daemon/config/file_error.hpp"

namespace leeward::daemon {

struct StationTable {
  control::FixedVector<control::DirectionRecord, 2> directions;
  std::vector<std::string> restrictions;  ///< by the index that the stations carry
  bool has_baseline = false;              ///< else the pressures count as induced
  bool has_seconds = false;               ///< of every row
};

/// A commented table to fill in.
[[nodiscard]] std::string station_table_template();

/// @param procedure  what the table must suffice for
/// @param direction  nullopt: by the column `direction`, else by the sign of the pressures
/// Errors   file, line, column and key of every value that is not allowed, and what is; and where all values
///          are allowed, too few stations or too equal ones for the procedure's fit, or an induced pressure
///          that is not above 0
[[nodiscard]] Loaded<StationTable> load_station_table(const std::string& path,
                                                      const control::ProcedureSpec& procedure,
                                                      std::optional<control::Direction> direction);

}  // namespace leeward::daemon
