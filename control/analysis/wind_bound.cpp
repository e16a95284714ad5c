#include "control/analysis/wind_bound.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {

namespace {

double signed_power(double pa, double n) { return std::copysign(std::pow(std::abs(pa), n), pa); }

/// Flow out through both leaks of coefficient 1, indoors at this pressure against the still air.
double flow_out(const TwoLeaks& leaks, double indoor_pa) {
  return leaks.windward_share * signed_power(indoor_pa - leaks.windward_pa, leaks.n) +
         (1 - leaks.windward_share) * signed_power(indoor_pa - leaks.leeward_pa, leaks.n);
}

}  // namespace

double zero_flow_pressure_pa(const TwoLeaks& leaks) noexcept {
  // Flow out through one leak is flow in through the other.
  const double ratio = std::pow(leaks.windward_share / (1 - leaks.windward_share), 1 / leaks.n);
  return (ratio * leaks.windward_pa + leaks.leeward_pa) / (1 + ratio);
}

double wind_error_frac(const TwoLeaks& leaks, double induced_pa) noexcept {
  return flow_out(leaks, zero_flow_pressure_pa(leaks) + induced_pa) / signed_power(induced_pa, leaks.n) - 1;
}

double wind_error_expansion_frac(const TwoLeaks& leaks, double induced_pa) noexcept {
  const double zero_pa = zero_flow_pressure_pa(leaks);
  const double at_windward = zero_pa - leaks.windward_pa;
  const double at_leeward = zero_pa - leaks.leeward_pa;
  const double w = leaks.windward_share;
  const double mean = w * at_windward + (1 - w) * at_leeward;
  const double square = w * at_windward * at_windward + (1 - w) * at_leeward * at_leeward;
  return leaks.n * mean / induced_pa + 0.5 * leaks.n * (leaks.n - 1) * square / (induced_pa * induced_pa);
}

double wind_bound(double wind_m_s, double n, double induced_pa) noexcept {
  constexpr double density_kg_m3 = 1.2041;
  constexpr int shares = 100;
  const double pressure_pa = 0.5 * density_kg_m3 * wind_m_s * wind_m_s;
  double largest = 0;
  for (int i = 1; i < shares; ++i) {
    const TwoLeaks leaks{static_cast<double>(i) / shares, n, pressure_pa, 0};
    for (const double sign : {-1.0, 1.0})
      largest = std::max(largest, std::abs(wind_error_frac(leaks, sign * induced_pa)));
  }
  return largest;
}

}  // namespace leeward::control
