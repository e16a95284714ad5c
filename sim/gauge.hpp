#pragma once

#include <cmath>
#include <cstdint>

#include "sim/first_order.hpp"
#include "sim/house_spec.hpp"
#include "sim/rng.hpp"

namespace leeward::sim {

/// What may be wrong with a gauge and its tubes.
struct GaugeFault {
  bool tube_off = false;
  bool swapped = false;
  bool stuck = false;
  double shift_pa = 0;
  double drift_pa_s = 0;
  bool operator==(const GaugeFault&) const = default;
};

/// A differential pressure gauge: lag, noise, resolution, drifting zero. It has its own generator, so
/// that nothing that happens to it changes anything else.
class Gauge {
 public:
  Gauge() : Gauge(SensorSpec{}) {}
  explicit Gauge(const SensorSpec& spec, std::uint64_t seed = 0, std::uint64_t stream = 0)
      : spec_(spec), rng_(seed, stream), cell_{.lag_s = spec.lag_s}, zero_pa_(spec.zero_pa) {
    drift_pa_s_ = spec.drift_pa_per_10min / 600 * rng_.normal();
    sample(0);
  }
  /// Takes a pressure at once, without lag, as if it had stood for long.
  void settle(double true_pa) {
    tube_.value = cell_.value = seen(true_pa);
    sample(0);
  }
  void follow(double true_pa, double dt_s) {
    const double at_tube = seen(true_pa);
    cell_.follow(tube_.lag_s > 0 ? tube_.follow(at_tube, dt_s) : (tube_.value = at_tube), dt_s);
  }
  /// Makes the next reading, dt_s after the last.
  void sample(double dt_s) {
    zero_pa_ += (drift_pa_s_ + fault.drift_pa_s) * dt_s;
    const double raw = cell_.value + zero_pa_ + spec_.noise_pa * rng_.quick_normal();
    if (fault.stuck) return;
    reading_pa_ =
        spec_.resolution_pa > 0 ? spec_.resolution_pa * std::floor(raw / spec_.resolution_pa + 0.5) : raw;
  }
  /// A kink in the tube: a lag of its own, 0 for none.
  void set_kink(double lag_s) {
    tube_.lag_s = lag_s;
    tube_.step_s = -1;
  }
  [[nodiscard]] double reading_pa() const { return reading_pa_; }
  bool operator==(const Gauge&) const = default;

  GaugeFault fault;

 private:
  [[nodiscard]] double seen(double true_pa) const {
    return (fault.tube_off ? 0 : (fault.swapped ? -true_pa : true_pa)) + fault.shift_pa;
  }
  SensorSpec spec_;
  Rng rng_;
  FirstOrder tube_;
  FirstOrder cell_;
  double zero_pa_ = 0;
  double drift_pa_s_ = 0;
  double reading_pa_ = 0;
};

}  // namespace leeward::sim
