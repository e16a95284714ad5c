#include "control/regulate/simc.hpp"

#include <algorithm>

namespace leeward::control {

SimcGains simc_gains(const LagModel& model, double closed_loop_s) noexcept {
  const double reach = closed_loop_s + model.delay_s;
  return {model.tau_s / (model.gain * reach), std::min(model.tau_s, 4.0 * reach), model.tau2_s};
}

SimcGains simc_integrating(double slope, double delay_s, double tau2_s, double closed_loop_s) noexcept {
  const double reach = closed_loop_s + delay_s;
  return {1.0 / (slope * reach), 4.0 * reach, tau2_s};
}

SimcGains isa_form(const SimcGains& series) noexcept {
  const double sum = series.ti_s + series.td_s;
  return {series.kc * sum / series.ti_s, sum, series.ti_s * series.td_s / sum};
}

}  // namespace leeward::control
