#include "control/physics/fan_flow.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

constexpr double kStanding = 0.005;     // of full speed
constexpr double kStraightBelow = 0.3;  // Pa: an idle opening's square law gives way to a line
constexpr double kNearEnough = 0.02;    // Pa: the last correction leaves the square of it
constexpr int kMostRounds = 6;

struct Slope {
  double pa = 0;
  double pa_s_m3 = 0;   ///< by the flow
  double by_speed = 0;  ///< Pa for full speed
};

/// The wheel's resistance past free delivery and against reverse flow: goes on with the curve's slope there.
double wheel_resistance(const FanCurve& curve) {
  const double free = curve.free_flow_m3_s();
  return std::max(1e-3, -curve.full_rise(free).pa_s_m3 / (2 * free));
}

/// Rise of the wheel less what the restriction loses.
Slope left_at(const FanCurve& curve, const RestrictionSpec& r, double speed, double flow, double resistance) {
  const double size = std::abs(flow);
  const double lost = lost_pressure_pa(r, size);
  const double lost_slope = lost / (r.m * std::max(size, 1e-9));
  const double free = speed * curve.free_flow_m3_s();
  Slope s;
  if (flow > 0 && flow < free) {
    const FanCurve::Rise full = curve.full_rise(flow / speed);
    s = {speed * speed * full.pa, speed * full.pa_s_m3, 2 * speed * full.pa - flow * full.pa_s_m3};
  } else if (flow > 0) {
    s = {resistance * (free * free - flow * flow), -2 * resistance * flow,
         2 * resistance * free * curve.free_flow_m3_s()};
  } else {
    const double shut = curve.full_rise(0).pa;
    s = {speed * speed * shut + resistance * flow * flow, -2 * resistance * size, 2 * speed * shut};
  }
  s.pa -= std::copysign(lost, flow);
  s.pa_s_m3 -= lost_slope;
  return s;
}

/// Through a wheel that stands.
FanFlow idle_flow(const RestrictionSpec& r, double against_pa, double resistance) {
  const double whole = resistance + r.loss_frac / (r.k_m3_s_pam * r.k_m3_s_pam);
  const double size = std::max(std::abs(against_pa), kStraightBelow);
  const double at = std::sqrt(size / whole);
  if (std::abs(against_pa) < kStraightBelow) return {-at * against_pa / size, 0, -at / size};
  return {-std::copysign(at, against_pa), 0, -0.5 * at / size};
}

}  // namespace

FanFlow fan_flow(const FanCurve& curve, const RestrictionSpec& r, double speed, double against_pa,
                 double near) noexcept {
  const double resistance = wheel_resistance(curve);
  if (!(speed > kStanding)) return idle_flow(r, against_pa, resistance);
  const double whole = resistance + r.loss_frac / (r.k_m3_s_pam * r.k_m3_s_pam);
  const double flattest = -std::sqrt(kStraightBelow * whole);
  const double most = 2 * curve.free_flow_m3_s() + std::sqrt(std::abs(against_pa) / resistance);
  double flow = std::clamp(near, -most, most);
  for (int round = 1;; ++round) {
    const Slope left = left_at(curve, r, speed, flow, resistance);
    const double excess = left.pa - against_pa;
    const double slope = std::min(left.pa_s_m3, flattest);
    flow = std::clamp(flow - excess / slope, -most, most);
    if (std::abs(excess) < kNearEnough || round == kMostRounds)
      return {flow, std::max(0.0, -left.by_speed / slope), 1 / slope};
  }
}

}  // namespace leeward::control
