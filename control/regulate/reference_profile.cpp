#include "control/regulate/reference_profile.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {

ReferenceState reference_at(double pressure_pa) noexcept {
  return {std::isfinite(pressure_pa) ? pressure_pa : 0.0};
}

ReferenceState reference_step(const ReferenceState& state, double target_pa, double rate_pa_s,
                              double landing_pa_s2, double dt_s) noexcept {
  const double way = target_pa - state.value_pa;
  // An endless rate or landing is no limit at all, and would end in 0 times infinity.
  const bool sound = std::isfinite(way) && rate_pa_s > 0 && std::isfinite(rate_pa_s) && landing_pa_s2 > 0 &&
                     std::isfinite(landing_pa_s2) && dt_s > 0 && std::isfinite(dt_s);
  if (!sound) return state;
  double left = std::abs(way);
  double time = dt_s;
  const double landing_way = 0.5 * rate_pa_s * rate_pa_s / landing_pa_s2;
  if (left > landing_way) {
    const double travel = std::min(time, (left - landing_way) / rate_pa_s);
    left -= rate_pa_s * travel;
    time -= travel;
  }
  if (time > 0) {
    // left = 1/2 a t^2 with t the time to rest
    const double to_rest = std::max(0.0, std::sqrt(2.0 * left / landing_pa_s2) - time);
    left = 0.5 * landing_pa_s2 * to_rest * to_rest;
  }
  if (left < 1e-9) left = 0;
  if (!std::isfinite(left)) return state;
  return {target_pa - std::copysign(left, way)};
}

}  // namespace leeward::control
