#pragma once
/// The windows over which pressure and flow are averaged together.

#include "control/procedure/sequencer.hpp"

namespace leeward::control {

void begin_averages(Scene& scene) noexcept;
/// Adds this tick's readings, when they are fresh.
void add_to_averages(Scene& scene) noexcept;
[[nodiscard]] BaselineRecord baseline_from(const Scene& scene) noexcept;
[[nodiscard]] StationRecord station_from(const Scene& scene, double target_pa, bool settled) noexcept;

}  // namespace leeward::control
