#pragma once
/// Runs: started, listed, looked at, read out.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// 201 {"run_id"}; with "dry_run": true only checked: 200.
void post_run(const ApiContext& context, const ApiRequest& request, const PathArgs& args, const Reply& reply);
void get_runs(const ApiContext& context, const ApiRequest& request, const PathArgs& args, const Reply& reply);
void get_run(const ApiContext& context, const ApiRequest& request, const PathArgs& args, const Reply& reply);
/// 409 before the end.
void get_run_result(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                    const Reply& reply);
void get_run_samples(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                     const Reply& reply);

}  // namespace leeward::daemon
