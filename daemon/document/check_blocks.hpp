#pragma once
/// Checks of validity, and what is to be said beside the figures.

#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

[[nodiscard]] std::vector<Block> check_blocks(const ReportData& data);
/// Failed checks that do not void the test.
[[nodiscard]] std::vector<Notice> deviation_notices(const ReportData& data);
/// What happened and was not planned.
[[nodiscard]] std::vector<Notice> event_notices(const ReportData& data);
[[nodiscard]] std::vector<Notice> caution_notices(const ReportData& data);

}  // namespace leeward::daemon
