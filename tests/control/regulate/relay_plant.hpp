#pragma once
/// What the tests of the experiments share: a plant of one lag and delay, noise, and the loop round them.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <functional>
#include <vector>

#include "control/regulate/relay_experiment.hpp"
#include "control/regulate/sampled_lag.hpp"
#include "control/regulate/simc.hpp"

namespace leeward::control::relay_plant {

/// Sum of twelve even numbers less six: standard deviation 1. The generator is the common one of 31 bits.
class Noise {
 public:
  explicit Noise(std::uint32_t seed) : s_(seed & 0x7fffffffU) {}
  double even() {
    s_ = (1103515245U * s_ + 12345U) & 0x7fffffffU;
    return static_cast<double>(s_) / 2147483648.0;
  }
  double operator()() {
    double sum = -6;
    for (int i = 0; i < 12; ++i) sum += even();
    return sum;
  }

 private:
  std::uint32_t s_;
};

/// gain e^(-delay s)/(tau s + 1), or the integrator gain e^(-delay s)/s where tau is 0; at rest at 0.
class DelayedLag {
 public:
  DelayedLag(const LagModel& m, double period_s)
      : m_(m), h_(period_s), lag_(sampled_lag(m.tau_s > 0 ? m.tau_s : 1, m.delay_s, period_s)) {}
  [[nodiscard]] double y() const { return x_; }
  void step(double u) {
    inputs_.push_back(u);
    const double rest = m_.delay_s - static_cast<double>(lag_.whole) * h_;
    if (m_.tau_s > 0)
      x_ = lag_.keep * x_ + m_.gain * (lag_.older * ago(lag_.whole + 1) + lag_.newer * ago(lag_.whole));
    else
      x_ += m_.gain * (rest * ago(lag_.whole + 1) + (h_ - rest) * ago(lag_.whole));
  }

 private:
  [[nodiscard]] double ago(std::size_t k) const {
    return inputs_.size() > k ? inputs_[inputs_.size() - 1 - k] : 0.0;
  }
  LagModel m_;
  double h_;
  SampledLag lag_;
  std::vector<double> inputs_;
  double x_ = 0;
};

struct RelayRun {
  RelayState state;
  std::vector<double> demand;
  double furthest_pa = 0;
};

/// A relay experiment about 0 on a plant with a constant load at its input.
inline RelayRun run_relay(const RelaySpec& spec, const LagModel& model, double period_s, double load = 0,
                          const std::function<double()>& noise = {}) {
  DelayedLag plant(model, period_s);
  RelayRun run;
  run.state = relay_start(0, 0);
  while (run.state.watch.end == ExperimentEnd::running) {
    const double y = plant.y() + (noise ? noise() : 0.0);
    run.furthest_pa = std::max(run.furthest_pa, std::abs(plant.y()));
    const double u =
        relay_step(spec, run.state, {.dt_s = period_s, .fresh = true, .y_pa = y, .abort = false});
    run.demand.push_back(u);
    plant.step(u + load);
  }
  return run;
}

}  // namespace leeward::control::relay_plant
