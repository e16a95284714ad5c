#pragma once
/// Small filters that stay exact when the interval between samples varies.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numeric>

namespace leeward::control {

/// Part of the way to its input that a first-order lag goes in dt_s, exact for an input held over the step.
/// Range   0..1; no interval, or one that makes no sense: 0; no lag: 1
/// Source  zero-order-hold equivalent of 1/(tau s + 1): 1 - e^(-dt/tau), textbook
[[nodiscard]] inline double lag_share(double dt_s, double tau_s) noexcept {
  if (!(dt_s > 0)) return 0;
  return tau_s > 0 ? -std::expm1(-dt_s / tau_s) : 1;
}

/// One step of the first-order lag. An input that is not finite is left out.
[[nodiscard]] inline double lag_step(double value, double input, double dt_s, double tau_s) noexcept {
  return std::isfinite(input) ? value + lag_share(dt_s, tau_s) * (input - value) : value;
}

/// Middle of N values; of an even number the mean of the two in the middle.
/// Range   finite values; takes a copy, N is small
template <std::size_t N>
[[nodiscard]] double median_of(std::array<double, N> values) noexcept {
  static_assert(N > 0);
  std::sort(values.begin(), values.end());
  return N % 2 == 1 ? values[N / 2] : std::midpoint(values[N / 2 - 1], values[N / 2]);
}

}  // namespace leeward::control
