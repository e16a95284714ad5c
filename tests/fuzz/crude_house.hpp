#pragma once
/// A house of one leak with its fan, in a few lines: it answers the fan so that a fuzzed run gets far. All
/// its numbers are invented.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>

#include "control/command.hpp"
#include "control/engine_config.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/physics/flow_element.hpp"
#include "control/signs.hpp"
#include "sim/house_spec.hpp"

namespace leeward::fuzz {

class CrudeHouse {
 public:
  CrudeHouse() : curve_(*control::FanCurve::make(sim::demo_fan().curve)) {}

  // What the crew and the fuzzer do to it.
  double leak_m3_s_pan = 0.02;
  double wind_pa = 0;
  double noise_pa = 0.05;
  bool covered = false;
  bool deaf = false;  ///< the drive takes no commands
  int fitted = 0;
  control::Direction blows = control::Direction::depressurize;

  void take(const control::FanCommand& command) {
    if (deaf) return;
    told_frac_ = command.drive == control::Drive::drive ? command.demand_frac : 0.0;
  }
  void step(double dt_s) {
    const double part = std::clamp(dt_s, 0.0, 10.0);
    ramp_frac_ += std::clamp(told_frac_ - ramp_frac_, -part / kSlewS, part / kSlewS);
    speed_frac_ += (ramp_frac_ - speed_frac_) * (1 - std::exp(-part / kLagS));
    pressure_pa_ += (balance_pa() - pressure_pa_) * (1 - std::exp(-part / kZoneS));
  }
  /// Indoor minus outdoor.
  [[nodiscard]] double building_pressure_pa() {
    return control::signed_pressure(blows, pressure_pa_) - 1.0 + wind_pa + noise_pa * noise();
  }
  [[nodiscard]] double signal_pa() {
    const double flow = covered ? 0.0 : leak_m3_s_pan * std::pow(std::max(0.0, pressure_pa_), kExponent);
    return std::max(0.0, control::signal_pa(plate(), flow) + 0.1 * noise_pa * noise());
  }

 private:
  static constexpr double kSlewS = 6.5;
  static constexpr double kLagS = 1.0;
  static constexpr double kZoneS = 0.3;
  static constexpr double kExponent = 0.65;

  [[nodiscard]] const control::RestrictionSpec& plate() const {
    static const control::FanSpec fan = sim::demo_fan();
    return fan.restrictions[static_cast<std::size_t>(fitted) % fan.restrictions.size()];
  }
  /// Where the fan's curve carries house and restriction.
  [[nodiscard]] double balance_pa() const {
    if (covered || speed_frac_ < 0.01) return 0;
    double low = 0, high = 400;
    for (int i = 0; i < 16; ++i) {
      const double middle = (low + high) / 2;
      const double flow = leak_m3_s_pan * std::pow(middle, kExponent);
      const double left = curve_.rise_pa(speed_frac_, flow) - control::lost_pressure_pa(plate(), flow);
      (left > middle ? low : high) = middle;
    }
    return low;
  }
  double noise() {
    random_ = random_ * 6364136223846793005U + 1442695040888963407U;
    return static_cast<double>(random_ >> 40U) / (1U << 23U) - 1.0;
  }

  control::FanCurve curve_;
  std::uint64_t random_ = 1;
  double told_frac_ = 0;
  double ramp_frac_ = 0;
  double speed_frac_ = 0;
  double pressure_pa_ = 0;
};

}  // namespace leeward::fuzz
