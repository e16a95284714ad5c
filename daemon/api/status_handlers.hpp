#pragma once
/// How things stand, and whether the daemon is well.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

void get_status(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                const Reply& reply);
/// 200 while a run could be started, 503 with what is in the way otherwise.
void get_readyz(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                const Reply& reply);
/// 200 while ticks come, 503 otherwise.
void get_healthz(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                 const Reply& reply);

}  // namespace leeward::daemon
