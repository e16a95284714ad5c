#include "sim/fan_duty.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {

FanDuty::FanDuty(const FanUnitSpec& unit, const Air& air)
    : curve_(unit),
      restrictions_(unit.fan.restrictions),
      calibration_kg_m3_(unit.fan.density_kg_m3),
      air_(air) {
  set(unit.fan.fitted, control::Direction::depressurize, 0);
}

void FanDuty::set(int restriction, control::Direction direction, double blocked_part) {
  const auto& fitted = restrictions_[static_cast<std::size_t>(restriction)];
  direction_ = direction;
  const bool out = direction == control::Direction::depressurize;
  density_ratio_ = (out ? air_.indoor_kg_m3 : air_.outdoor_kg_m3) / calibration_kg_m3_;
  k_m3_s_pam_ = fitted.k_m3_s_pam / std::sqrt(density_ratio_);
  exponent_ = 1 / fitted.m;
  loss_frac_ = fitted.loss_frac;

  const double orifice = 1 / (k_m3_s_pam_ * k_m3_s_pam_);
  const double open_part = 1 - std::clamp(blocked_part, 0.0, 0.999);
  blocked_resistance_ = orifice * (1 / (open_part * open_part) - 1);
  // The square that goes on from free delivery with the slope that the curve has there.
  const double wheel = -density_ratio_ * curve_.at(curve_.free_m3_s()).pa_s_m3 / (2 * curve_.free_m3_s());
  wheel_resistance_ = std::max(wheel, (1 - loss_frac_) * orifice);
  idle_resistance_ = wheel_resistance_ + loss_frac_ * orifice + blocked_resistance_;
  slope_floor_ = std::sqrt(kStraightBelowPa * idle_resistance_);
}

FanDuty::Excess FanDuty::rise(double speed_frac, double flow_m3_s) const {
  const double free = speed_frac * curve_.free_m3_s();
  if (flow_m3_s > 0 && flow_m3_s < free) {
    const UnitCurve::Rise full = curve_.at(flow_m3_s / speed_frac);
    const double scale = density_ratio_ * speed_frac;
    return {scale * speed_frac * full.pa, scale * full.pa_s_m3};
  }
  const double slope = -2 * wheel_resistance_ * std::abs(flow_m3_s);
  if (flow_m3_s > 0) return {wheel_resistance_ * (free * free - flow_m3_s * flow_m3_s), slope};
  const double shut_off = density_ratio_ * speed_frac * speed_frac * curve_.at(0).pa;
  return {shut_off + wheel_resistance_ * flow_m3_s * flow_m3_s, slope};
}

FanDuty::Excess FanDuty::excess(double speed_frac, double against_pa, double flow_m3_s) const {
  const Excess wheel = rise(speed_frac, flow_m3_s);
  const double size = std::abs(flow_m3_s);
  const double plate = loss_frac_ * power(size / k_m3_s_pam_);
  const double lost = plate + blocked_resistance_ * size * size;
  constexpr double any_flow = 1e-12;
  const double lost_slope = exponent_ * plate / (size + any_flow) + 2 * blocked_resistance_ * size;
  return {wheel.pa - std::copysign(lost, flow_m3_s) - against_pa,
          std::min(wheel.slope - lost_slope, -slope_floor_)};
}

DutyPoint FanDuty::point(double flow_m3_s, double slope_pa_s_m3) const {
  const bool out = (direction_ == control::Direction::depressurize) == (flow_m3_s > 0);
  const double kg_m3 = out ? air_.indoor_kg_m3 : air_.outdoor_kg_m3;
  // The fan blows out of a zone that it depressurizes.
  const double way = -control::sign_of(direction_);
  const double m3_s_pa = -1 / slope_pa_s_m3;
  return {flow_m3_s, m3_s_pa, {way * kg_m3 * flow_m3_s, kg_m3 * m3_s_pa}};
}

DutyPoint FanDuty::solve(double speed_frac, double against_pa, double near_m3_s) const {
  constexpr double standing = 0.01;
  if (speed_frac < standing) {
    const double size = std::abs(against_pa);
    const double resistance_at = std::sqrt(idle_resistance_ * std::max(size, kStraightBelowPa));
    return point(-against_pa / resistance_at, -resistance_at * (size < kStraightBelowPa ? 1 : 2));
  }
  double flow = near_m3_s;
  constexpr int most_rounds = 8;
  constexpr double near_enough_pa = 1e-2;  // the last correction leaves the square of it
  for (int round = 0; round < most_rounds; ++round) {
    const Excess now = excess(speed_frac, against_pa, flow);
    flow -= now.pa / now.slope;
    if (std::abs(now.pa) < near_enough_pa) return point(flow, now.slope);
  }
  flow = bisect(speed_frac, against_pa);
  return point(flow, excess(speed_frac, against_pa, flow).slope);
}

double FanDuty::bisect(double speed_frac, double against_pa) const {
  // Far enough that the bare wheel would carry the pressure.
  const double far = 4 * curve_.free_m3_s() + std::sqrt(2 * std::abs(against_pa) / wheel_resistance_);
  double low = -far;
  double high = far;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (excess(speed_frac, against_pa, middle).pa > 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace leeward::sim
