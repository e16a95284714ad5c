#pragma once
/// What the run states, with intervals.

#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

/// Two or three figures in large type.
[[nodiscard]] std::vector<Block> headline_blocks(const ReportData& data, const DisplayUnits& units);
/// The table of every figure, and of each direction. Empty where nothing was computed.
[[nodiscard]] std::vector<Block> figure_blocks(const ReportData& data, const DisplayUnits& units);

}  // namespace leeward::daemon
