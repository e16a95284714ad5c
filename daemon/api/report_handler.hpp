#pragma once
/// GET /v1/runs/{id}/report.pdf

#include <string_view>

#include "daemon/api/api_context.hpp"
#include "daemon/document/report_options.hpp"

namespace leeward::daemon {

/// "paper=letter&units=ip": any of both, in any order.
/// @returns false where it holds something else
[[nodiscard]] bool read_report_query(std::string_view query, ReportOptions& options);

void get_run_report(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply);

}  // namespace leeward::daemon
