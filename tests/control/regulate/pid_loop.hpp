#pragma once
/// A PID fed by hand, for tests: fixed steps, stamps kept.

#include <cmath>
#include <vector>

#include "control/regulate/pid.hpp"

namespace leeward::control {

struct PidLoop {
  explicit PidLoop(const PidTuning& t) : tuning(t) { state.has_stamp = true; }

  /// One step of h seconds; the state remembers the stamp.
  double step(double r, double y, double h = 0.1, double feedforward = 0) {
    time_s += h;
    out = pid_step(tuning, state, {r, y, feedforward, static_cast<std::int64_t>(std::llround(time_s * 1e9))});
    state = out.next;
    return out.u;
  }
  /// As step, with the value that a later stage let through.
  double step_applied(double r, double y, double h, double applied) {
    const double u = step(r, y, h);
    state = pid_applied(state, applied);
    return u;
  }

  PidTuning tuning;
  PidState state;
  PidOutput out;
  double time_s = 0;
};

/// First-order lag with dead time, exact for a constant input over each step.
class LagPlant {
 public:
  LagPlant(double gain, double tau_s, double delay_s, double h) : gain_(gain), a_(std::exp(-h / tau_s)) {
    line_.assign(static_cast<std::size_t>(std::lround(delay_s / h)), 0.0);
  }
  double step(double u) {
    double late = u;
    if (!line_.empty()) {
      late = line_.front();
      line_.erase(line_.begin());
      line_.push_back(u);
    }
    y_ = a_ * y_ + (1 - a_) * gain_ * late;
    return y_;
  }
  double y() const { return y_; }

 private:
  double gain_, a_, y_ = 0;
  std::vector<double> line_;
};

}  // namespace leeward::control
