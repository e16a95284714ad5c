#pragma once
/// What the tests of the PID share: a loop that keeps time, and a first-order plant with delay.

#include <cmath>
#include <cstdint>
#include <vector>

#include "control/regulate/pid.hpp"

namespace leeward::control::pid_rig {

inline std::int64_t ns(double s) { return static_cast<std::int64_t>(std::llround(s * 1e9)); }

/// A state at rest whose clock runs: the first step already has an interval.
inline PidState at_rest() {
  PidState s;
  s.has_stamp = true;
  return s;
}

/// Steps one PID along; time moves by what each step is told.
struct Loop {
  PidTuning tuning;
  PidState state = at_rest();
  std::int64_t now_ns = 0;

  PidOutput step(double r, double y, double h, double feedforward = 0) {
    now_ns += ns(h);
    const PidOutput out = pid_step(tuning, state, {r, y, feedforward, now_ns});
    state = out.next;
    return out;
  }
};

/// gain e^(-delay s)/(tau s + 1), exact for a command that is held over each step; the delay is a whole
/// number of steps.
class LagPlant {
 public:
  LagPlant(double gain, double tau_s, double delay_s, double h)
      : gain_(gain), keep_(std::exp(-h / tau_s)), line_(static_cast<std::size_t>(std::lround(delay_s / h))) {}
  [[nodiscard]] double y() const { return y_; }
  void step(double u) {
    double delayed = u;
    if (!line_.empty()) {
      delayed = line_[at_];
      line_[at_] = u;
      at_ = (at_ + 1) % line_.size();
    }
    y_ = keep_ * y_ + (1 - keep_) * gain_ * delayed;
  }

 private:
  double gain_;
  double keep_;
  std::vector<double> line_;
  std::size_t at_ = 0;
  double y_ = 0;
};

}  // namespace leeward::control::pid_rig
