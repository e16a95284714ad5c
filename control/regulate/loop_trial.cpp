#include "control/regulate/loop_trial.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "control/regulate/sampled_lag.hpp"

namespace leeward::control {
namespace {

constexpr std::size_t kLongestDelay = 1024;  // periods
constexpr double kSettledBand = 0.05;
constexpr double kTrialTimes = 40.0;  // lags, delays and integral times, whichever sum

/// The plant and its past inputs.
class TrialPlant {
 public:
  TrialPlant(const LagModel& model, double period_s)
      : gain_(model.gain), lag_(sampled_lag(model.tau_s, model.delay_s, period_s)) {
    lag_.whole = std::min(lag_.whole, kLongestDelay - 2);
  }
  [[nodiscard]] double y() const { return gain_ * x_; }
  void step(double u) {
    inputs_[at_] = u;
    x_ = lag_.keep * x_ + lag_.older * ago(lag_.whole + 1) + lag_.newer * ago(lag_.whole);
    at_ = (at_ + 1) % kLongestDelay;
  }

 private:
  [[nodiscard]] double ago(std::size_t k) const { return inputs_[(at_ + kLongestDelay - k) % kLongestDelay]; }
  double gain_;
  SampledLag lag_;
  std::array<double, kLongestDelay> inputs_{};
  std::size_t at_ = 0;
  double x_ = 0;
};

struct TrialLoop {
  TrialPlant plant;
  PidTuning tuning;
  PidState pid;
  double period_s;
  std::int64_t now_ns = 0;
  double u = 0;

  /// @returns the error before the step
  double step(double setpoint, double load) {
    now_ns += static_cast<std::int64_t>(std::llround(1e9 * period_s));
    const double y = plant.y();
    const PidOutput out = pid_step(tuning, pid, {setpoint, y, 0, now_ns});
    pid = out.next;
    u = out.u;
    plant.step(u + load);
    return setpoint - y;
  }
};

PidTuning without_limits(PidTuning t, double period_s) {
  t.out_min = -std::numeric_limits<double>::max();
  t.out_max = std::numeric_limits<double>::max();
  t.max_gap_s = std::max(t.max_gap_s, 2 * period_s);
  return t;
}

void try_setpoint(TrialLoop& loop, int steps, LoopTrial& out) {
  double last_u = 0;
  int outside = 0;
  for (int k = 0; k < steps; ++k) {
    const double error = loop.step(1, 0);
    out.iae += std::abs(error) * loop.period_s;
    out.overshoot_frac = std::max(out.overshoot_frac, -error);
    out.total_variation += std::abs(loop.u - last_u);
    last_u = loop.u;
    if (!(std::abs(error) <= kSettledBand)) outside = k + 1;
  }
  out.settled = outside < steps;
  out.settling_s = outside * loop.period_s;
}

}  // namespace

LoopTrial try_loop(const LagModel& model, const PidTuning& tuning, double period_s) noexcept {
  const double integral = std::isfinite(tuning.ti_s) ? tuning.ti_s : 0;
  const double lasts = kTrialTimes * (model.tau_s + model.delay_s + integral);
  const int steps = static_cast<int>(std::clamp(lasts / period_s, 10.0, 200'000.0));
  TrialLoop loop{TrialPlant(model, period_s), without_limits(tuning, period_s), {}, period_s};
  loop.pid.has_stamp = true;  // at rest with its clock running
  LoopTrial out;
  try_setpoint(loop, steps, out);
  for (int k = 0; k < steps; ++k) {
    const double error = std::abs(loop.step(1, 1)) / std::abs(model.gain);
    out.load_peak = std::max(out.load_peak, error);
    out.load_iae += error * period_s;
  }
  return out;
}

}  // namespace leeward::control
