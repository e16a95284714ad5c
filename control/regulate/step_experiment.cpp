#include "control/regulate/step_experiment.hpp"

namespace leeward::control {

StepState step_start(double base_frac, double centre_pa) noexcept {
  StepState s;
  s.base_frac = base_frac;
  s.watch.centre_pa = centre_pa;
  return s;
}

double step_step(const StepSpec& spec, StepState& s, const ExperimentInput& in) noexcept {
  if (!watch_step(spec.bounds, s.watch, in)) return s.base_frac;
  const double since = s.watch.elapsed_s - spec.rest_s;
  if (since >= spec.up_s + spec.back_s) s.watch.end = ExperimentEnd::done;
  return since >= 0 && since < spec.up_s ? s.base_frac + spec.amplitude_frac : s.base_frac;
}

}  // namespace leeward::control
