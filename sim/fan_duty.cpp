#include "sim/fan_duty.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {

namespace {

constexpr double kIdleSpeed = 0.01;

/// First flow at which a falling curve has come down to 0.
template <class Rise>
double first_zero(double start, Rise rise) {
  double low = 0;
  double high = start;
  for (int i = 0; i < 20 && rise(high) > 0; ++i) {
    low = high;
    high *= 2;
  }
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (rise(middle) > 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace

FanDuty::FanDuty(const FanUnitSpec& unit, const Air& air)
    : restrictions_(unit.fan.restrictions),
      head_factor_(unit.head_factor),
      resistance_factor_(unit.resistance_factor),
      calibration_kg_m3_(unit.fan.density_kg_m3),
      air_(air) {
  if (const auto curve = control::FanCurve::make(unit.fan.curve)) curve_ = *curve;
  shut_off_pa_ = curve_.full_rise_pa(0);
  free_m3_s_ = first_zero(curve_.free_flow_m3_s(), [this](double q) { return unit_rise_pa(q); });
  set(unit.fan.fitted, control::Direction::depressurize, 0);
}

void FanDuty::set(int restriction, control::Direction direction, double blocked_part) {
  const int last = static_cast<int>(restrictions_.size()) - 1;
  const auto& fitted = restrictions_[static_cast<std::size_t>(std::clamp(restriction, 0, last))];
  direction_ = direction;
  const double passing =
      direction == control::Direction::depressurize ? air_.indoor_kg_m3 : air_.outdoor_kg_m3;
  density_ratio_ = passing / calibration_kg_m3_;
  k_m3_s_pam_ = fitted.k_m3_s_pam / std::sqrt(density_ratio_);
  exponent_ = 1 / fitted.m;
  loss_frac_ = fitted.loss_frac;

  const double orifice = 1 / (k_m3_s_pam_ * k_m3_s_pam_);
  const double open_part = 1 - std::clamp(blocked_part, 0.0, 0.999);
  blocked_resistance_ = orifice * (1 / (open_part * open_part) - 1);
  const double end_slope =
      (unit_rise_pa(free_m3_s_) - unit_rise_pa(free_m3_s_ * 1.001)) / (0.001 * free_m3_s_);
  wheel_resistance_ = std::max(density_ratio_ * end_slope / (2 * free_m3_s_), (1 - loss_frac_) * orifice);
  slope_floor_ =
      std::sqrt(kStraightBelowPa * (wheel_resistance_ + loss_frac_ * orifice + blocked_resistance_));
}

double FanDuty::rise_pa(double speed_frac, double flow_m3_s) const {
  if (speed_frac <= 0) return 0;
  return speed_frac * speed_frac * unit_rise_pa(flow_m3_s / speed_frac);
}

double FanDuty::signal_pa(double flow_m3_s) const {
  if (flow_m3_s <= 0) return 0;
  const double ratio = flow_m3_s / k_m3_s_pam_;
  return exponent_ == 2 ? ratio * ratio : fast_pow(ratio, exponent_);
}

FanDuty::Excess FanDuty::excess(double speed_frac, double against_pa, double flow_m3_s) const {
  const double free = speed_frac * free_m3_s_;
  const double size = std::abs(flow_m3_s);
  const double lost = loss_frac_ * signal_pa(size) + blocked_resistance_ * size * size;
  const double lost_slope =
      size > 0 ? exponent_ * loss_frac_ * signal_pa(size) / size + 2 * blocked_resistance_ * size : 0;
  double rise = 0;
  double rise_slope = 0;
  if (flow_m3_s <= 0) {
    rise = density_ratio_ * speed_frac * speed_frac * unit_rise_pa(0) + wheel_resistance_ * size * size;
    rise_slope = -2 * wheel_resistance_ * size;
  } else if (flow_m3_s >= free) {
    rise = wheel_resistance_ * (free * free - size * size);
    rise_slope = -2 * wheel_resistance_ * size;
  } else {
    const double at_full = flow_m3_s / speed_frac;
    const double apart = 1e-4 * free_m3_s_;
    const double here = unit_rise_pa(at_full);
    rise = density_ratio_ * speed_frac * speed_frac * here;
    rise_slope = density_ratio_ * speed_frac * (unit_rise_pa(at_full + apart) - here) / apart;
  }
  const double total = rise - std::copysign(lost, flow_m3_s) - against_pa;
  return {total, std::min(rise_slope - lost_slope, -slope_floor_)};
}

DutyPoint FanDuty::point(double flow_m3_s, double slope_pa_s_m3) const {
  const bool out = (direction_ == control::Direction::depressurize) == (flow_m3_s > 0);
  const double kg_m3 = out ? air_.indoor_kg_m3 : air_.outdoor_kg_m3;
  // The fan blows out of a zone that it depressurizes.
  const double way = -control::sign_of(direction_);
  return {.flow_m3_s = flow_m3_s,
          .flow_m3_s_pa = -1 / slope_pa_s_m3,
          .outflow = {way * kg_m3 * flow_m3_s, -kg_m3 / slope_pa_s_m3}};
}

DutyPoint FanDuty::solve(double speed_frac, double against_pa, double near_m3_s) const {
  if (speed_frac < kIdleSpeed) {
    const double resistance = slope_floor_ * slope_floor_ / kStraightBelowPa;
    const double size = std::max(std::abs(against_pa), kStraightBelowPa);
    const double per_pa = 1 / std::sqrt(resistance * size);
    const bool straight = std::abs(against_pa) < kStraightBelowPa;
    return point(-against_pa * per_pa, -1 / (per_pa * (straight ? 1 : 0.5)));
  }
  double flow = std::isfinite(near_m3_s) ? near_m3_s : 0;
  constexpr int most_rounds = 8;
  constexpr double near_enough_pa = 1e-3;  // the last correction leaves the square of it
  for (int round = 0; round < most_rounds; ++round) {
    const Excess now = excess(speed_frac, against_pa, flow);
    flow -= now.pa / now.slope;
    if (std::abs(now.pa) < near_enough_pa) return point(flow, now.slope);
  }
  flow = bisect(speed_frac, against_pa);
  return point(flow, excess(speed_frac, against_pa, flow).slope);
}

double FanDuty::bisect(double speed_frac, double against_pa) const {
  // Far enough that even the bare wheel would carry the pressure.
  const double far = 4 * free_m3_s_ + std::sqrt(2 * std::abs(against_pa) / wheel_resistance_);
  double low = -far;
  double high = far;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (excess(speed_frac, against_pa, middle).pa > 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace leeward::sim
