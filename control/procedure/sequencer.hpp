#pragma once
/// Walks a procedure: what is wanted now, which question is put to the crew, what is averaged.

#include <array>

#include "control/engine_config.hpp"
#include "control/engine_state.hpp"
#include "control/event.hpp"
#include "control/physics/fan_curve.hpp"

namespace leeward::control {

inline constexpr double kWheelAtRest = 0.01;  ///< of full speed
inline constexpr double kLeastTarget = 1.0;   ///< Pa: below it the zero-flow error is all there is

/// What the sequencer sees of this tick, after screens and estimators.
struct Sight {
  double dt_s = 0;
  bool fresh = false;  ///< a new accepted pressure reading in this tick
  double pressure_signed_pa = 0;
  double induced_pa = 0;  ///< size along the direction
  bool flow_good = false;
  double total_flow_m3_s = 0;
  std::array<double, kMaxFans> signal_pa{};
  double demand_frac = 0;  ///< as applied in the last tick
  bool demand_at_limit = false;
  double reference_pa = 0;  ///< of the regulator in the last tick
  double flow_relative_u = 0;
};

/// What the sequencer wants of the regulator.
struct Want {
  bool drive = false;
  double target_pa = 0;  ///< induced size
  double rate_pa_s = 0;  ///< rate at which the reference may move there; 0: as fast as the regulator will
  /// The demand that is kept, gusts or not, while a station is averaged or in an experiment; 0: the pressure
  /// is regulated.
  double keep_frac = 0;
};

/// Facts and helpers that every phase needs.
struct Scene {
  const EngineConfig& config;
  const std::array<FanCurve, kMaxFans>& curves;
  EngineState& state;
  const Sight& sight;
  Events& events;
};

/// One tick of the procedure. Requests have been taken already.
[[nodiscard]] Want sequencer_step(Scene& scene) noexcept;

/// Leaves whatever goes on: asks are withdrawn, the run ends in this state, the restore list opens.
void end_run(Scene& scene, RunState ended) noexcept;

/// Ends what was done by hand; a restore list that was put aside for it comes back.
void end_by_hand(Scene& scene) noexcept;

void enter_phase(Scene& scene, Phase phase) noexcept;

/// The run's fan is at work, or would be but for the crew's hands: there it can be paused.
[[nodiscard]] bool may_pause(const EngineState& state) noexcept;

/// Holds the run where the reference is; what was being averaged begins anew afterwards.
void pause_run(Scene& scene) noexcept;

/// Ends a pause, and what kept the pressure low.
void go_on(EngineState& state) noexcept;

/// How much the gusts of the zero-flow reading ask for patience.
/// Range   0 in still air, 1 where they are strong
[[nodiscard]] double gust_share(const EngineState& state) noexcept;

/// Planned rest of the averaging that goes on; 0 where none does.
[[nodiscard]] double time_left_s(const EngineState& state) noexcept;

/// The crew's hands are at the fan, or the countdown after it still runs.
[[nodiscard]] bool hands_at_fan(const EngineState& state) noexcept;

}  // namespace leeward::control
