#pragma once
/// The one sentence that says what is happening.

#include <string>

#include "control/trace.hpp"

namespace leeward::daemon {

/// "Holding 50.2 Pa below outdoors"
[[nodiscard]] std::string phase_text(const control::Trace& trace);

}  // namespace leeward::daemon
