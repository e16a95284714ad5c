#include "control/physics/flow_element.hpp"

#include <cmath>

namespace leeward::control {

double flow_m3_s(const RestrictionSpec& restriction, double signal_pa) noexcept {
  if (signal_pa <= 0) return 0;
  return restriction.k_m3_s_pam * std::pow(signal_pa, restriction.m);
}

double signal_pa(const RestrictionSpec& restriction, double flow_m3_s) noexcept {
  if (flow_m3_s <= 0) return 0;
  return std::pow(flow_m3_s / restriction.k_m3_s_pam, 1.0 / restriction.m);
}

SignalRange signal_range(const RestrictionSpec& restriction, double signal_pa) noexcept {
  if (signal_pa > restriction.signal_max_pa) return SignalRange::above;
  return signal_pa >= restriction.signal_min_pa ? SignalRange::inside : SignalRange::below;
}

double lost_pressure_pa(const RestrictionSpec& restriction, double flow_m3_s) noexcept {
  return restriction.loss_frac * signal_pa(restriction, flow_m3_s);
}

}  // namespace leeward::control
