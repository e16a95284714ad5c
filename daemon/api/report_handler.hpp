#pragma once
/// /v1/runs/{id}/report.pdf: GET with a query, POST with a body that also says what no recording knows.

#include <string>
#include <string_view>
#include <vector>

#include "daemon/api/api_context.hpp"
#include "daemon/api/problem.hpp"
#include "daemon/document/report_options.hpp"

namespace leeward::daemon {

/// "paper=letter&units=ip": any of both, in any order.
/// @returns false where it holds something else
[[nodiscard]] bool read_report_query(std::string_view query, ReportOptions& options);

/// Body, all of it optional: {"paper", "units", "particulars": {...}}, the particulars by the keys of
/// kParticulars.
[[nodiscard]] ReportOptions read_report_body(const std::string& body, std::vector<Problem>& problems);
void post_run_report(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                     const Reply& reply);
void get_run_report(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply);

}  // namespace leeward::daemon
