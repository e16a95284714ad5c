#pragma once
/// Each cause of a trip as a question about what was read; the first that answers yes trips.

#include "control/guard/guard.hpp"

namespace leeward::control {

struct Finding {
  TripCause cause = TripCause::none;
  StopMode mode = StopMode::cut;
  double seen = 0;
  double limit = 0;
};

/// Brings the guard's clocks and counters up to this sample.
void track(const LimitSpec& limits, GuardState& state, const GuardInput& in) noexcept;

/// The causes in order of severity.
[[nodiscard]] Finding find_cause(const LimitSpec& limits, const GuardState& state,
                                 const GuardInput& in) noexcept;

/// Beyond the ceiling although the fan has long been at rest: weather, not a fault.
[[nodiscard]] bool wind_alone_beyond_ceiling(const LimitSpec& limits, const GuardState& state,
                                             const GuardInput& in) noexcept;

}  // namespace leeward::control
