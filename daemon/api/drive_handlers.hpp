#pragma once
/// What an experiment found of the drive.

#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// Waits for a fit that is under way.
void get_rig_learn(const ApiContext& context, const ApiRequest& request, const PathArgs& args,
                   const Reply& reply);

}  // namespace leeward::daemon
