#pragma once
/// A first-order lag with delay between samples of an input that stays as it is between them.

#include <cmath>
#include <cstddef>

namespace leeward::control {

/// x over one period: keep x + older u(whole + 1 periods before its begin) + newer u(whole before it).
/// Exact   the delay need not be a number of periods
/// Source  zero-order hold of 1/(tau s + 1) with fractional delay
struct SampledLag {
  std::size_t whole = 0;
  double keep = 0;
  double older = 0;
  double newer = 0;
};

/// Range   tau and period above 0, delay 0 or above
[[nodiscard]] inline SampledLag sampled_lag(double tau_s, double delay_s, double period_s) noexcept {
  SampledLag out;
  out.whole = static_cast<std::size_t>(delay_s / period_s);
  const double rest = delay_s - static_cast<double>(out.whole) * period_s;
  out.keep = std::exp(-period_s / tau_s);
  const double tail = std::exp(-(period_s - rest) / tau_s);
  out.older = tail - out.keep;
  out.newer = 1 - tail;
  return out;
}

}  // namespace leeward::control
