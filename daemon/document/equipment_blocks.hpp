#pragma once
/// Preparation and restoring as they were answered; instruments and the recording itself.

#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

[[nodiscard]] std::vector<Block> preparation_blocks(const ReportData& data, const ReportOptions& options);
[[nodiscard]] std::vector<Block> equipment_blocks(const ReportData& data, const DisplayUnits& units);

}  // namespace leeward::daemon
