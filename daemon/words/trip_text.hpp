#pragma once
/// Why the fan was stopped, what was seen, and what to look at before clearing it.

#include <string>
#include <string_view>

#include "control/phase.hpp"

namespace leeward::daemon {

/// One line: cause, figures, what to check, what to do. Empty when nothing is tripped.
[[nodiscard]] std::string trip_text(const control::Trip& trip);

/// What a trip of this cause says whatever was seen: what happened, and what to look for.
[[nodiscard]] std::string trip_advice(control::TripCause cause);

/// Unit of a trip's figures; empty for counts.
[[nodiscard]] std::string_view trip_unit(control::TripCause cause);

}  // namespace leeward::daemon
