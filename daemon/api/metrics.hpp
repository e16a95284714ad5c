#pragma once
/// The daemon's state in the text format that Prometheus scrapes.

#include <string>

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// Base units in the names; what is not known is left out rather than shown as 0.
/// Source  Prometheus exposition format 0.0.4 and its naming conventions
[[nodiscard]] std::string metrics_text(const ApiContext& context);

void get_metrics(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                 const Reply& reply);

}  // namespace leeward::daemon
