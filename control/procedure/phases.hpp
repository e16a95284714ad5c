#pragma once
/// One tick of each phase: what it wants, and when it hands over to the next.

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

[[nodiscard]] Want step_prepare(Scene& scene) noexcept;
[[nodiscard]] Want step_baseline(Scene& scene) noexcept;
[[nodiscard]] Want step_uncover(Scene& scene) noexcept;
[[nodiscard]] Want step_look_round(Scene& scene) noexcept;
[[nodiscard]] Want step_climb(Scene& scene) noexcept;
[[nodiscard]] Want step_stations(Scene& scene) noexcept;
[[nodiscard]] Want step_closing_baseline(Scene& scene) noexcept;
[[nodiscard]] Want step_restore(Scene& scene) noexcept;
[[nodiscard]] Want step_hold(Scene& scene) noexcept;

/// Whether the smoothed pressure keeps within a tolerance of a target; counts how long it has.
[[nodiscard]] bool settled_for(Scene& scene, double target_pa, double tolerance_pa, double wanted_s) noexcept;

/// Whether the fan has been at full demand below the target for so long that no more will come.
[[nodiscard]] bool out_of_breath(Scene& scene, double target_pa) noexcept;

}  // namespace leeward::control
