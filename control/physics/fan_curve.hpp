#pragma once

#include <array>
#include <optional>

#include "control/physics/fan_spec.hpp"
#include "control/result.hpp"

namespace leeward::control {

/// Pressure rise of a fan over flow and speed.
///
/// Shape    a smooth curve through the points (cubic pieces that rise or fall only where the points
///          do); beyond the first and the last point it goes on straight, so that past free delivery
///          the fan holds the flow back.
/// Range    every finite flow; a demand of 0 gives no rise
/// Errors   only make() can fail; NaN gives NaN
/// Source   monotone cubic interpolation with weighted harmonic slopes, Fritsch and Butland 1984
///          (from memory); affinity laws of fans: flow with speed, rise with its square
class FanCurve {
 public:
  /// @param points  2 or more at full demand, flows ascending, finite, the last rise the lowest
  [[nodiscard]] static Result<FanCurve> make(const FixedVector<CurvePoint, kMaxCurvePoints>& points);
  /// Rise at full demand.
  [[nodiscard]] double full_rise_pa(double flow_m3_s) const noexcept;
  /// Rise at a demand, by the affinity laws: demand^2 * full_rise_pa(flow / demand).
  [[nodiscard]] double rise_pa(double demand_frac, double flow_m3_s) const noexcept;
  struct Rise {
    double pa = 0;
    double pa_s_m3 = 0;  ///< slope by the flow
  };
  /// Rise at full demand with its slope.
  [[nodiscard]] Rise full_rise(double flow_m3_s) const noexcept;
  /// Flow at full demand against no rise.
  [[nodiscard]] double free_flow_m3_s() const noexcept { return free_flow_m3_s_; }
  bool operator==(const FanCurve&) const = default;

 private:
  FanCurve() = default;
  void set_slopes() noexcept;
  void set_free_flow() noexcept;
  FixedVector<CurvePoint, kMaxCurvePoints> points_;
  std::array<double, kMaxCurvePoints> slopes_pa_s_m3_{};
  double free_flow_m3_s_ = 0;
};

/// The demand that moves a flow against a rise.
/// Range    0 to max_demand_frac; nullopt where that is not enough, or where an input is not finite.
///          0 where neither flow nor rise is asked for, and where the flow comes without the fan.
[[nodiscard]] std::optional<double> demand_for(const FanCurve& curve, double flow_m3_s, double total_rise_pa,
                                               double max_demand_frac = 1.0) noexcept;

}  // namespace leeward::control
