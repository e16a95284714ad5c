#pragma once
/// The regulator's own controller on a model of the plant: what a step will look like.

#include "control/regulate/pid.hpp"
#include "control/regulate/simc.hpp"

namespace leeward::control {

/// Of a unit step of the set-point from rest, and of a unit step of load at the plant's input after it.
struct LoopTrial {
  bool settled = false;
  double settling_s = 0;       ///< within 5 % of the step from then on
  double overshoot_frac = 0;   ///< of the step
  double iae = 0;              ///< integral of the error's size, s
  double total_variation = 0;  ///< of the output
  double load_peak = 0;        ///< largest error after the load step, over gain times step
  double load_iae = 0;         ///< of its error, s times input unit times gain
};

/// @param period_s  of the samples; the output is kept between them
/// Range   tau and period above 0; at most 1000 periods of delay; limits of the output are left out of
/// account
[[nodiscard]] LoopTrial try_loop(const LagModel& model, const PidTuning& tuning, double period_s) noexcept;

}  // namespace leeward::control
