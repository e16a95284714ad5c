#pragma once
/// The phase in which an experiment finds out what the drive is like.

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

/// After the zero-flow reading of an experiment by hand: the crew is asked to take the cover off.
void uncover_to_learn(Scene& scene) noexcept;

[[nodiscard]] Want step_learn_drive(Scene& scene) noexcept;

}  // namespace leeward::control
