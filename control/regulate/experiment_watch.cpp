#include "control/regulate/experiment_watch.hpp"

#include <cmath>

namespace leeward::control {

bool watch_step(const ExperimentBounds& bounds, ExperimentWatch& w, const ExperimentInput& in) noexcept {
  if (w.end != ExperimentEnd::running) return false;
  const double dt = in.dt_s > 0 ? in.dt_s : 0;
  w.elapsed_s += dt;
  w.blind_s = in.fresh ? 0 : w.blind_s + dt;
  if (in.abort)
    w.end = ExperimentEnd::aborted;
  else if ((in.fresh && !std::isfinite(in.y_pa)) || w.blind_s > kLongestBlind)
    w.end = ExperimentEnd::bad_reading;
  else if (in.fresh && std::abs(in.y_pa - w.centre_pa) > bounds.bound_pa)
    w.end = ExperimentEnd::out_of_bounds;
  else if (w.elapsed_s > bounds.most_s)
    w.end = ExperimentEnd::out_of_time;
  return w.end == ExperimentEnd::running;
}

}  // namespace leeward::control
