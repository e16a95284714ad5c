#pragma once
/// A step experiment on a plant, as it is recorded.

#include <cstdint>
#include <vector>

#include "control/regulate/step_experiment.hpp"
#include "tests/control/regulate/relay_plant.hpp"

namespace leeward::control::relay_plant {

struct StepRecord {
  std::vector<double> demand, pressure_pa;
};

/// A step experiment on a plant; drift and noise are added to what is read.
inline StepRecord recorded_step(const LagModel& plant_model, double noise_pa, double drift_pa_s,
                                std::uint32_t seed) {
  const double h = 0.1;
  const double long_s = 4 * plant_model.tau_s + plant_model.delay_s;
  const StepSpec spec{.amplitude_frac = 0.02,
                      .rest_s = 5,
                      .up_s = long_s,
                      .back_s = long_s,
                      .bounds = {.bound_pa = 1e9, .most_s = 1e4}};
  DelayedLag plant(plant_model, h);
  Noise noise(seed);
  StepState s = step_start(0.4, 50);
  StepRecord out;
  while (s.watch.end == ExperimentEnd::running) {
    const double y = 50 + plant.y() + noise_pa * noise() + drift_pa_s * s.watch.elapsed_s;
    const double u = step_step(spec, s, {.dt_s = h, .fresh = true, .y_pa = y, .abort = false});
    out.pressure_pa.push_back(y);
    out.demand.push_back(u);
    plant.step(u - 0.4);
  }
  return out;
}

}  // namespace leeward::control::relay_plant
