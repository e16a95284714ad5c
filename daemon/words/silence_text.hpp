#pragma once
/// How the fan stops when nothing is said to it any more, as every face says it.

#include <string>

#include "control/engine_config.hpp"

namespace leeward::daemon {

/// @param timeout_refused  the drive did not take the time-out that it was told
[[nodiscard]] std::string silence_text(control::SilenceStop stop, bool timeout_refused = false);

}  // namespace leeward::daemon
