#pragma once
/// How far a loop is from swinging.

#include "control/regulate/process_model.hpp"

namespace leeward::control {

/// What does not exist (a phase that never gets to -180 degrees, a gain always below 1) is infinite, its
/// frequency 0.
struct LoopMargins {
  bool stable = false;  ///< the closed loop, by the winding of 1 + L about 0
  double ms = 0;        ///< peak of |1/(1 + L)|
  double mt = 0;        ///< peak of |L/(1 + L)|, at least 1 with integral action
  double gain_margin = 0;
  double phase_margin_deg = 0;
  double delay_margin_s = 0;
  double w180_rad_s = 0;       ///< where the least gain margin is
  double crossover_rad_s = 0;  ///< where the least phase margin is
};

/// Sweep of the frequencies, refined at each crossing and peak.
/// Range   processes without unstable poles; kc of the sign of the gain, not 0
[[nodiscard]] LoopMargins loop_margins(const LoopController& controller,
                                       const ProcessModel& process) noexcept;

}  // namespace leeward::control
