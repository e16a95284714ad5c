#include "control/restriction/reach.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

constexpr double kFullSpeedU = 0.03;  // unit against its file's curve, temperature of the air included
constexpr double kLeastSpeed = 0.05;
constexpr int kHalvings = 30;

}  // namespace

TopSpeed top_speed(const FanMap& map, bool has_curve, double demand_frac) noexcept {
  const LinearPair pair = has_curve ? observe(map.pair, 1.0, 1.0, kFullSpeedU * kFullSpeedU) : map.pair;
  const double scale = std::max(0.1, pair.b);
  TopSpeed top;
  top.speed_frac = std::max(kLeastSpeed, (demand_frac - pair.a) / scale);
  top.u_frac = std::sqrt(std::max(0.0, variance_at(pair, top.speed_frac))) / scale;
  return top;
}

double least_flow_m3_s(const RestrictionSpec& restriction) noexcept {
  return flow_m3_s(restriction, restriction.signal_min_pa);
}

double most_flow_m3_s(const RestrictionSpec& restriction, const FanCurve& curve, double speed_frac,
                      double pressure_pa) noexcept {
  const auto left_over = [&](double flow) {
    return curve.rise_pa(speed_frac, flow) - lost_pressure_pa(restriction, flow) - pressure_pa;
  };
  double low = 0;
  double high = flow_m3_s(restriction, restriction.signal_max_pa);
  if (left_over(high) >= 0) return high;
  if (!(left_over(low) > 0)) return 0;
  for (int i = 0; i < kHalvings; ++i) {
    const double middle = 0.5 * (low + high);
    (left_over(middle) > 0 ? low : high) = middle;
  }
  return low;
}

}  // namespace leeward::control
