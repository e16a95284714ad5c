#pragma once
/// A small step of demand from a hold, and back again: what the pressure makes of it shows gain, lag and
/// delay.

#include "control/regulate/experiment_watch.hpp"

namespace leeward::control {

struct StepSpec {
  double amplitude_frac = 0.02;  ///< either sign
  double rest_s = 10;            ///< at the base demand before it
  double up_s = 20;              ///< at the stepped one
  double back_s = 20;            ///< at the base demand again: a drift shows as the ends that differ
  ExperimentBounds bounds;
};

struct StepState {
  ExperimentWatch watch;
  double base_frac = 0;
};

/// From a hold: the demand that it is held with and the pressure that it has.
[[nodiscard]] StepState step_start(double base_frac, double centre_pa) noexcept;

/// One tick.
/// @returns the demand; base again from the tick on that ends it
[[nodiscard]] double step_step(const StepSpec& spec, StepState& state, const ExperimentInput& in) noexcept;

}  // namespace leeward::control
