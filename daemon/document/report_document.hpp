#pragma once

#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"
#include "daemon/document/report_options.hpp"

namespace leeward::daemon {

/// The whole report as content. A run that does not count as a result says so in large words on its first
/// page and has its figures, if any, further back and marked.
[[nodiscard]] Document make_document(const ReportData& data, const ReportOptions& options);

}  // namespace leeward::daemon
