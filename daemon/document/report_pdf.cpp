#include "daemon/document/report_pdf.hpp"

#include "daemon/document/report_document.hpp"
#include "daemon/document/surfaces.hpp"

namespace leeward::daemon {

control::Result<std::string> report_pdf(const ReportData& data, const ReportOptions& options) {
  auto file = document_pdf(make_document(data, options), data, options);
  if (!file) return tl::unexpected(file.error());
  return std::move(file->bytes);
}

control::Result<std::string> report_pdf(const std::filesystem::path& recording,
                                        const ReportOptions& options) {
  const auto data = read_report_data(recording);
  if (!data) return tl::unexpected(data.error());
  return report_pdf(*data, options);
}

}  // namespace leeward::daemon
