#pragma once
/// The head of the first page, and the place to sign.

#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

[[nodiscard]] TitleBlock title_block(const ReportData& data);
/// Whether the run counts, and if not why.
[[nodiscard]] BannerBlock banner_block(const ReportData& data);
[[nodiscard]] FactsBlock building_and_test_block(const ReportData& data, const ReportOptions& options,
                                                 const DisplayUnits& units);
[[nodiscard]] SignatureBlock signature_block(const ReportData& data, const ReportOptions& options);

}  // namespace leeward::daemon
