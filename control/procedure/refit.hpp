#pragma once
/// Asking for another restriction when the stations to come need one, and checking by the signal that
/// the one named really is fitted.

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

/// Plans the stations to come with what has been learnt, and asks when the next one needs another
/// restriction than the fitted one.
/// @returns true where an ask was opened: the fan stays off until it is answered
[[nodiscard]] bool refit_if_better(Scene& scene) noexcept;

/// To be called while hands are at the fan: what is settled starts anew afterwards.
void note_hands_at_fan(Scene& scene) noexcept;

/// Compares the flow that the named restriction stands for with the house curve from before the change.
/// Where another restriction explains the signal far better, says so and asks once more.
void verify_fit(Scene& scene) noexcept;

}  // namespace leeward::control
