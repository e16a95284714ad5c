#pragma once
/// Documents and pictures as the bytes of a file. The same input gives the same bytes.

#include <string>

#include "control/result.hpp"
#include "daemon/document/display_units.hpp"
#include "daemon/document/document_model.hpp"
#include "daemon/document/report_data.hpp"

namespace leeward::daemon {

struct PdfFile {
  std::string bytes;
  std::size_t pages = 0;
};

/// Errors   io with Cairo's own words
[[nodiscard]] control::Result<PdfFile> document_pdf(const Document& document, const ReportData& data,
                                                    const ReportOptions& options);
/// A picture on its own, with title and description as text.
[[nodiscard]] control::Result<std::string> picture_svg(Picture picture, const ReportData& data,
                                                       const DisplayUnits& units);
[[nodiscard]] control::Result<std::string> picture_png(Picture picture, const ReportData& data,
                                                       const DisplayUnits& units);

}  // namespace leeward::daemon
