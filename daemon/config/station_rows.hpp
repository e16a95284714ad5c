#pragma once
/// The rows of a table of stations, read and checked, and the record that they make.

#include <optional>
#include <string>
#include <vector>

#include "control/analysis/run_record.hpp"
#include "daemon/config/csv_table.hpp"

namespace leeward::daemon {

enum class RowKind : std::uint8_t { baseline_before, baseline_after, station };

struct StationRow {
  int line = 0;
  RowKind kind = RowKind::station;
  std::optional<control::Direction> direction;
  double pressure_pa = 0;  ///< signed
  double flow_m3_h = 0;
  double pressure_sd_pa = 0;  ///< 0: not given
  double seconds = 0;         ///< 0: not given
  int restriction = 0;
};

/// @param restrictions  the names that the rows give, in the order of their index
[[nodiscard]] std::vector<StationRow> read_station_rows(const CsvTable& table,
                                                        std::vector<std::string>& restrictions,
                                                        Findings& findings);

/// Readings of a kind are one zero-flow pressure together. Where a reading states its spread and length, the
/// error of its mean is that of gusts of the usual time scale.
/// @param has_baseline  false: the zero-flow pressure counts as 0, known exactly
[[nodiscard]] control::DirectionRecord record_of(const std::vector<StationRow>& rows, control::Direction d,
                                                 const control::ProcedureSpec& procedure, bool has_baseline,
                                                 Findings& findings);

}  // namespace leeward::daemon
