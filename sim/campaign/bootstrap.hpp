#pragma once
/// How far a figure of a sample would move, had other houses been drawn.

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

namespace leeward::sim {

/// Of a figure, over other draws of houses.
struct BootstrapInterval {
  double low = 0;
  double high = 0;
};

/// A figure of a sample, handed over ascending.
using Statistic = std::function<double(std::span<const double>)>;

inline constexpr int kResamples = 1000;

/// The 95 % percentile interval of each statistic: 2.5 and 97.5 % of what it is over samples of the same size
/// drawn from the sample with replacement. All statistics see the same draws.
/// @param values  any order; NaN for an empty sample
/// Source   percentile bootstrap, Efron and Tibshirani 1993 (from memory)
[[nodiscard]] std::vector<BootstrapInterval> bootstrap_intervals(std::span<const double> values,
                                                                 std::span<const Statistic> statistics,
                                                                 std::uint64_t seed,
                                                                 int resamples = kResamples);

}  // namespace leeward::sim
