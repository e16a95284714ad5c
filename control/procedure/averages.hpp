#pragma once
/// The windows over which pressure and flow are averaged together.

#include "control/analysis/clamped_zero.hpp"
#include "control/procedure/sequencer.hpp"

namespace leeward::control {

void begin_averages(Scene& scene) noexcept;

/// How long the window that is being averaged shall be: at least `least_s`, and up to `most_s` until the mean
/// is as good as the procedure wants it.
struct Length {
  double least_s = 0;
  double most_s = 0;
};
/// @param se_pa  standard error of the mean pressure that is good enough
void plan_baseline(Scene& scene, Length length, double se_pa) noexcept;
void plan_station(Scene& scene, Length length, double se_pa) noexcept;

/// The window is as long as planned, to half a sample.
[[nodiscard]] bool averaged_enough(const Scene& scene) noexcept;

/// Adds this tick's readings, when they are fresh.
void add_to_averages(Scene& scene) noexcept;

/// Where a fan-side gauge stands while its fan is covered and still; to be asked before the zero is renewed.
[[nodiscard]] ClampedZero signal_zero(const Scene& scene, std::size_t fan) noexcept;

[[nodiscard]] BaselineRecord baseline_from(const Scene& scene) noexcept;
[[nodiscard]] StationRecord station_from(const Scene& scene, double target_pa, bool settled) noexcept;

}  // namespace leeward::control
