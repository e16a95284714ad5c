#pragma once
/// The test report of a recording: the one call that the interface and the command line need.

#include <filesystem>
#include <string>

#include "control/result.hpp"
#include "daemon/document/report_data.hpp"
#include "daemon/document/report_options.hpp"

namespace leeward::daemon {

/// The bytes of a PDF. Any recording gets one, also a run that was stopped, tripped or cut off: it says so.
///
/// Shape    reads the recording only, in short transactions; safe beside its writer, and from any thread
/// Errors   io and conflict where the file is no readable recording
[[nodiscard]] control::Result<std::string> report_pdf(const std::filesystem::path& recording,
                                                      const ReportOptions& options);
[[nodiscard]] control::Result<std::string> report_pdf(const ReportData& data, const ReportOptions& options);

}  // namespace leeward::daemon
