#pragma once
/// The course of demands and pressures that shows what a drive is like, in a house that nobody knows and
/// below the pressure at which the crew looks round.

namespace leeward::control {

struct DriveExperimentState {
  int part = 0;
  double part_s = 0;
  double total_s = 0;
  double smooth_frac = 0;  ///< demand, low-passed
  double base_frac = 0;    ///< that held the upper pressure
  double highest_pa = 0;
  double last_pa = 0;
  double rate_pa_s = 0;   ///< of the pressure, smoothed
  bool too_high = false;  ///< in this part: the fan is let down for the rest of it
  bool operator==(const DriveExperimentState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("part", &DriveExperimentState::part);
    v("part_s", &DriveExperimentState::part_s);
    v("total_s", &DriveExperimentState::total_s);
    v("smooth_frac", &DriveExperimentState::smooth_frac);
    v("base_frac", &DriveExperimentState::base_frac);
    v("highest_pa", &DriveExperimentState::highest_pa);
    v("last_pa", &DriveExperimentState::last_pa);
    v("rate_pa_s", &DriveExperimentState::rate_pa_s);
    v("too_high", &DriveExperimentState::too_high);
  }
};

struct DriveExperimentInput {
  double dt_s = 0;
  double induced_pa = 0;
  double demand_frac = 0;  ///< as applied in the last tick
  double least_frac = 0;   ///< at which the fan runs
  double limit_pa = 10;    ///< never to be passed
};

struct DriveExperimentOutput {
  bool done = false;
  bool drive = false;
  double target_pa = 0;  ///< to be regulated to; 0: keep_frac
  double keep_frac = 0;
};

/// One tick.
[[nodiscard]] DriveExperimentOutput drive_experiment_step(DriveExperimentState& state,
                                                          const DriveExperimentInput& in) noexcept;

/// Sample time that it still takes.
[[nodiscard]] double experiment_left_s(const DriveExperimentState& state) noexcept;

}  // namespace leeward::control
