#pragma once
/// What was measured: trace, zero-flow pressures, stations, curve.

#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

[[nodiscard]] std::vector<Block> pressure_blocks(const ReportData& data);
[[nodiscard]] std::vector<Block> baseline_blocks(const ReportData& data);
[[nodiscard]] std::vector<Block> station_blocks(const ReportData& data, const DisplayUnits& units);
/// Empty where no curve was computed.
[[nodiscard]] std::vector<Block> curve_blocks(const ReportData& data, const DisplayUnits& units);

}  // namespace leeward::daemon
