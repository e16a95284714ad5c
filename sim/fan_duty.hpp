#pragma once

#include "control/signs.hpp"
#include "sim/house_spec.hpp"
#include "sim/unit_curve.hpp"
#include "sim/zone.hpp"

namespace leeward::sim {

/// Where the fan works: flow at its own air, and what this does to the zone.
struct DutyPoint {
  double flow_m3_s = 0;     ///< positive the way that the fan blows
  double flow_m3_s_pa = 0;  ///< how the flow falls with the pressure against it, at least 0
  Outflow outflow;          ///< of the zone
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
  /// @param unit  within range, see cut_to_range()
  FanDuty(const FanUnitSpec& unit, const Air& air);
  /// What the crew did to it, and what part of the opening is shut.
  void set(int restriction, control::Direction direction, double blocked_part);
  /// @param against_pa  pressure that the fan has to overcome, negative where it is pulled along
  /// @param near_m3_s   flow to start looking from: the last one
  [[nodiscard]] DutyPoint solve(double speed_frac, double against_pa, double near_m3_s) const;
  /// Signal that a flow makes at the true density; 0 for reverse flow.
  [[nodiscard]] double signal_pa(double flow_m3_s) const {
    return flow_m3_s > 0 ? power(flow_m3_s / k_m3_s_pam_) : 0;
  }

 private:
  struct Excess {
    double pa = 0;     ///< rise less losses less pressure against it
    double slope = 0;  ///< by the flow, below 0
  };
  /// Of a flow over k, to the power 1 / m.
  [[nodiscard]] double power(double ratio) const {
    constexpr double no_flow = 1e-30;  // has no logarithm worth taking
    if (exponent_ == 2) return ratio * ratio;
    return ratio > no_flow ? fast_pow(ratio, exponent_) : 0;
  }
  [[nodiscard]] Excess rise(double speed_frac, double flow_m3_s) const;
  [[nodiscard]] Excess excess(double speed_frac, double against_pa, double flow_m3_s) const;
  [[nodiscard]] double bisect(double speed_frac, double against_pa) const;
  [[nodiscard]] DutyPoint point(double flow_m3_s, double slope_pa_s_m3) const;

  UnitCurve curve_;
  control::FixedVector<control::RestrictionSpec, control::kMaxRestrictions> restrictions_;
  double calibration_kg_m3_ = 1.2041;
  Air air_;
  // Of the restriction and direction that are set, at the density of the air that passes:
  control::Direction direction_ = control::Direction::depressurize;
  double density_ratio_ = 1;
  double k_m3_s_pam_ = 1;
  double exponent_ = 2;  ///< of the signal over the flow, 1 / m
  double loss_frac_ = 0;
  double blocked_resistance_ = 0;  ///< Pa per (m3/s)^2, as the next
  double wheel_resistance_ = 1;
  double idle_resistance_ = 1;
  double slope_floor_ = 1;  ///< Pa per m3/s: of the straight line that replaces the square near 0
};

}  // namespace leeward::sim
