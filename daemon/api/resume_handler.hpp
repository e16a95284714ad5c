#pragma once
/// Going on with a run that was broken off.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// 201 {"run_id", "continues", "stations_kept"}; with "dry_run": true only checked: 200.
void post_run_resume(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                     const Reply& reply);

}  // namespace leeward::daemon
