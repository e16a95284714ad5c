#pragma once
/// What every start of a run goes through, a new one and one that is taken up again.

#include "control/request.hpp"
#include "daemon/api/api_context.hpp"

namespace leeward::daemon {

/// 201 {"run_id"}; only checked: 200.
/// @param command  start_run, its body already checked
void begin_run(const ApiContext& context, const control::Request& command, bool dry_run, const Reply& reply);

}  // namespace leeward::daemon
