#pragma once
/// What may go wrong, as data: how each cause is seen, after what delay, what is done, how it clears and what
/// the crew is told. The one source of the list that `leeward help failures` prints.

#include <cstdint>
#include <span>
#include <string_view>

#include "control/phase.hpp"

namespace leeward::control {

/// What is done about a failure, hardest last.
enum class Reaction : std::uint8_t {
  none,        ///< nothing is: it is not found
  note,        ///< told and recorded, all goes on
  invalidate,  ///< the result is marked
  hold,        ///< demand may not rise
  limit,       ///< demand is cut to what is allowed
  refuse,      ///< what was asked for is not begun
  ramp,        ///< to zero within 0.7 s, latched
  cut          ///< to zero in one period, latched
};

/// Which part of the program sees to it.
enum class Watcher : std::uint8_t { guard, screen, diagnosis, daemon, watchman, nobody };

struct FailureRow {
  std::string_view cause;
  std::string_view seen;   ///< by what it is seen
  std::string_view after;  ///< the delay, from when it shows
  Reaction reaction = Reaction::none;
  std::string_view clears;
  std::string_view told;  ///< to the crew; empty where the trip has its own words
  TripCause trip = TripCause::none;
  Watcher watcher = Watcher::nobody;
};

[[nodiscard]] std::span<const FailureRow> failure_table() noexcept;

[[nodiscard]] std::string_view reaction_text(Reaction reaction) noexcept;
[[nodiscard]] std::string_view watcher_text(Watcher watcher) noexcept;

}  // namespace leeward::control
