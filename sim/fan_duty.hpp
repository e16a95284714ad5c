#pragma once

#include "control/physics/fan_curve.hpp"
#include "control/signs.hpp"
#include "sim/house_spec.hpp"
#include "sim/zone.hpp"

namespace leeward::sim {

/// Where the fan works: flow at its own air, and what this does to the zone.
struct DutyPoint {
  double flow_m3_s = 0;     ///< positive the way that the fan blows
  double flow_m3_s_pa = 0;  ///< how the flow falls with the pressure against it, at least 0
  Outflow outflow;          ///< of the zone
  bool operator==(const DutyPoint&) const = default;
};

/// One fan with its restriction in its opening: speed and pressure against it -> flow.
///
/// The rise of the wheel, s^2 curve(q / s), carries the pressure against the fan and what the
/// restriction loses for good. Past free delivery and with reverse flow the wheel is a resistance that
/// grows with the flow squared; so is an opening whose fan stands, and it passes no more than the
/// orifice that the restriction's k stands for. Pressures go with the density of the air that passes.
///
/// Range    speed 0 to 1; every finite pressure
/// Source   affinity laws of fans; density correction of a pressure-drop flow element
class FanDuty {
 public:
  FanDuty() = default;
  /// @param unit  within range (see cut_to_range); a fan without a usable curve gets the demo fan's
  FanDuty(const FanUnitSpec& unit, const Air& air);
  /// What the crew did to it, and what part of the opening is shut.
  void set(int restriction, control::Direction direction, double blocked_part);
  /// @param against_pa  pressure that the fan has to overcome, negative where it is pulled along
  /// @param near_m3_s   flow to start looking from: the last one
  [[nodiscard]] DutyPoint solve(double speed_frac, double against_pa, double near_m3_s) const;
  /// Signal that a flow makes at the true density; 0 for reverse flow.
  [[nodiscard]] double signal_pa(double flow_m3_s) const;
  /// Rise of this very unit at the curve's density.
  [[nodiscard]] double rise_pa(double speed_frac, double flow_m3_s) const;

 private:
  struct Excess {
    double pa = 0;     ///< rise less losses less pressure against it
    double slope = 0;  ///< by the flow, below 0
  };
  [[nodiscard]] double unit_rise_pa(double full_speed_flow) const {
    return head_factor_ * shut_off_pa_ -
           resistance_factor_ * (shut_off_pa_ - curve_.full_rise_pa(full_speed_flow));
  }
  [[nodiscard]] Excess excess(double speed_frac, double against_pa, double flow_m3_s) const;
  [[nodiscard]] double bisect(double speed_frac, double against_pa) const;
  [[nodiscard]] DutyPoint point(double flow_m3_s, double slope_pa_s_m3) const;

  control::FanCurve curve_ = *control::FanCurve::make(demo_fan().curve);
  control::FixedVector<control::RestrictionSpec, control::kMaxRestrictions> restrictions_;
  double head_factor_ = 1;
  double resistance_factor_ = 1;
  double shut_off_pa_ = 0;
  double free_m3_s_ = 1;  ///< flow at full speed against nothing
  double calibration_kg_m3_ = 1.2041;
  Air air_;
  // Of the restriction and direction that are set:
  control::Direction direction_ = control::Direction::depressurize;
  double k_m3_s_pam_ = 1;  ///< at the density of the air that passes
  double exponent_ = 2;    ///< of the signal over the flow, 1 / m
  double loss_frac_ = 0;
  double blocked_resistance_ = 0;  ///< Pa per (m3/s)^2
  double wheel_resistance_ = 0;
  double slope_floor_ = 0;  ///< Pa per m3/s: the straight line that replaces the square near 0
  double density_ratio_ = 1;
};

}  // namespace leeward::sim
