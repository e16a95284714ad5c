#include "control/regulate/relay_identification.hpp"

#include <cmath>
#include <numbers>

namespace leeward::control {

std::optional<RelayMeasure> measure_of(const RelayState& state) noexcept {
  const auto& halves = state.halves;
  const std::size_t cycles = halves.size() / 2;
  if (cycles == 0) return std::nullopt;
  const double n = static_cast<double>(cycles);
  RelayMeasure out;
  double top = 0;
  double bottom = 0;
  double squares = 0;
  for (std::size_t i = 0; i < cycles; ++i) {
    const RelayHalf& low = halves[2 * i];
    const RelayHalf& high = halves[2 * i + 1];
    out.high_s += high.lasted_s / n;
    out.low_s += low.lasted_s / n;
    bottom += high.extreme_pa / n;
    top += low.extreme_pa / n;
    squares += (high.lasted_s + low.lasted_s) * (high.lasted_s + low.lasted_s) / n;
  }
  const double period = out.high_s + out.low_s;
  if (!(period > 0)) return std::nullopt;
  out.cycle = {.amplitude_pa = 0.5 * std::abs(top - bottom), .period_s = period};
  out.asymmetry = (out.high_s - out.low_s) / period;
  out.offset_pa = 0.5 * (top + bottom);
  out.period_spread = std::sqrt(std::fmax(0.0, squares - period * period)) / period;
  return out;
}

double describing_function_gain(double d, double eps, double a) noexcept {
  return a > eps ? 4 * d / (std::numbers::pi * std::sqrt(a * a - eps * eps)) : 0;
}

RelayCycle relay_cycle_of(const LagModel& model, double d, double eps) noexcept {
  const double reach = model.gain * d;
  const double left = std::exp(-model.delay_s / model.tau_s);
  const double a = reach * (1 - left) + eps * left;
  return {a, 2 * (model.delay_s + model.tau_s * std::log((reach + a) / (reach - eps)))};
}

std::optional<LagModel> model_from_cycle(double gain, double d, double eps,
                                         const RelayCycle& cycle) noexcept {
  const double reach = gain * d;
  const double a = cycle.amplitude_pa;
  if (!(a > eps && reach > a && eps >= 0 && cycle.period_s > 0)) return std::nullopt;
  const double delay_over_tau = std::log((reach - eps) / (reach - a));
  const double tau = 0.5 * cycle.period_s / (delay_over_tau + std::log((reach + a) / (reach - eps)));
  return LagModel{.gain = gain, .tau_s = tau, .delay_s = tau * delay_over_tau};
}

RelayCycle relay_cycle_of(const IntegratingModel& model, double d, double eps) noexcept {
  const double rate = model.slope * d;
  const double a = rate * model.delay_s + eps;
  return {a, 4 * a / rate};
}

std::optional<IntegratingModel> integrating_from_cycle(double d, double eps,
                                                       const RelayCycle& cycle) noexcept {
  const double a = cycle.amplitude_pa;
  if (!(a >= eps && d > 0 && cycle.period_s > 0)) return std::nullopt;
  const double slope = 4 * a / (cycle.period_s * d);
  return IntegratingModel{slope, (a - eps) / (slope * d)};
}

}  // namespace leeward::control
