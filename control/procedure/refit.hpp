#pragma once
/// Asking for another restriction when the stations to come need one, and checking by the signal that
/// the one named really is fitted.

#include <cstdint>

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

/// What a change of restriction is thought about for.
enum class RefitCause : std::uint8_t {
  planned,      ///< between stations, or where a look has been taken
  first_look,   ///< where a closer look may follow before the choice
  fitted_fails  ///< the one fitted has shown that it does not serve the next station
};

/// Plans the stations to come with what has been learnt, and asks for another restriction where that saves
/// changes. After a first look that leaves the choice open, a closer look is noted instead.
/// @returns true where an ask was opened: the fan stays off until it is answered
[[nodiscard]] bool refit_if_better(Scene& scene, RefitCause cause) noexcept;

/// Whether the next station may well be inside the range of what is fitted, although it was not just now.
[[nodiscard]] bool fitted_may_serve(const Scene& scene) noexcept;

/// While the crew takes the covers off anyway: asks for the restriction to begin with, where the one fitted
/// is clearly less likely to serve.
void ask_first_restriction(Scene& scene) noexcept;

/// To be called while hands are at the fan: what is settled starts anew afterwards.
void note_hands_at_fan(Scene& scene) noexcept;

/// Compares the flow that the named restriction stands for with the house curve from before the change.
/// Where another restriction explains the signal far better, says so and asks once more.
void verify_fit(Scene& scene) noexcept;

}  // namespace leeward::control
