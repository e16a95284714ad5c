#pragma once
/// The one sentence that says what is happening.

#include <string>

#include "control/trace.hpp"

namespace leeward::daemon {

/// "Holding 50.2 Pa below outdoors"
/// @param is_paused  the run's fan holds where it is until somebody lets the run go on
/// @param is_low     ... since nobody gave a sign of life
[[nodiscard]] std::string phase_text(const control::Trace& trace, bool is_paused, bool is_low = false);

}  // namespace leeward::daemon
