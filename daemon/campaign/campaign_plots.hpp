#pragma once

#include <string>

#include "control/result.hpp"
#include "daemon/campaign/summary.hpp"

namespace leeward::daemon {

/// One page: the fan of step responses, how settling and overshoot are distributed, errors over the wind, and
/// the worst runs with the command that runs each alone. What was not run is left out.
/// Errors   io with Cairo's own words
[[nodiscard]] control::Result<std::string> campaign_svg(const Summary& summary, const Rows& rows);

}  // namespace leeward::daemon
