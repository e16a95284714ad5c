#pragma once
/// Figures of a sample of numbers. Every function takes finite numbers; an empty sample gives NaN.

#include <span>

namespace leeward::sim {

/// Linear between the two nearest ranks: of n values the p-th lies at rank 1 + p (n - 1).
/// @param sorted  ascending
/// @param p       0 to 1
/// Source   the definition R calls type 7 (Hyndman and Fan 1996, from memory)
[[nodiscard]] double percentile(std::span<const double> sorted, double p);

[[nodiscard]] double mean(std::span<const double> values);

/// Root of the mean square.
[[nodiscard]] double rms(std::span<const double> values);

}  // namespace leeward::sim
