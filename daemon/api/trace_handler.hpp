#pragma once
/// The course of a run's pressure: GET /v1/runs/{id}/trace?points=1200.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// Also of the run in hand, up to the last second. 404 unknown run, 422 a number of points beyond 10 to 5000.
void get_run_trace(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply);

}  // namespace leeward::daemon
