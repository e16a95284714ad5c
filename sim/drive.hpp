#pragma once

#include <algorithm>

#include "sim/first_order.hpp"
#include "sim/house_spec.hpp"

namespace leeward::sim {

/// The motor drive: demand -> dead band and least speed -> slew limit -> first-order lag -> speed.
///
/// Units    speed as a fraction of full speed
/// Source   drive as in common practice, no source; the numbers belong to the house's spec
class Drive {
 public:
  Drive() : Drive(DriveSpec{}) {}
  explicit Drive(const DriveSpec& spec)
      : dead_band_frac_(std::clamp(spec.dead_band_frac, 0.0, 0.9)),
        least_speed_frac_(std::clamp(spec.least_speed_frac, 0.0, 1.0)),
        slew_per_s_(spec.slew_s_full > 0 ? 1 / spec.slew_s_full : 1e9),
        motor_{.lag_s = spec.lag_s} {}

  /// Speed that a demand leads to in the end. A demand of 0 is off whatever the dead band.
  [[nodiscard]] double speed_wanted(double demand_frac) const {
    if (demand_frac <= dead_band_frac_) return 0;
    return std::max(least_speed_frac_, (demand_frac - dead_band_frac_) / (1 - dead_band_frac_));
  }

  void step(double demand_frac, double dt_s) {
    const double most = slew_per_s_ * dt_s;
    const double before = ramp_frac_;
    ramp_frac_ += std::clamp(speed_wanted(demand_frac) - before, -most, most);
    // The middle of the ramp's step makes the lag second-order accurate in the step.
    motor_.follow(0.5 * (before + ramp_frac_), dt_s);
    constexpr double standing = 1e-4;
    if (ramp_frac_ <= 0 && motor_.value < standing) motor_.value = 0;
  }
  [[nodiscard]] double speed_frac() const { return motor_.value; }
  bool operator==(const Drive&) const = default;

 private:
  double dead_band_frac_;
  double least_speed_frac_;
  double slew_per_s_;
  double ramp_frac_ = 0;
  FirstOrder motor_;
};

}  // namespace leeward::sim
