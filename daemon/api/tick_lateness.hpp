#pragma once
/// How late ticks have begun, as a histogram.

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>

namespace leeward::daemon {

struct TickLateness {
  /// Upper ends; what is later still is counted in the last place of `counts`.
  static constexpr std::array<double, 9> kBoundsS{0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5};
  std::array<std::uint64_t, kBoundsS.size() + 1> counts{};  ///< not cumulated
  double sum_s = 0;

  /// @param late_s  beyond one period after the tick before; early is not late
  void add(double late_s) {
    const double late = std::max(late_s, 0.0);
    const auto place = std::lower_bound(kBoundsS.begin(), kBoundsS.end(), late);
    ++counts[static_cast<std::size_t>(place - kBoundsS.begin())];
    sum_s += late;
  }
};

}  // namespace leeward::daemon
