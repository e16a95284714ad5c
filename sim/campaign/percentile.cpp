#include "sim/campaign/percentile.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace leeward::sim {

double percentile(std::span<const double> sorted, double p) {
  if (sorted.empty()) return std::numeric_limits<double>::quiet_NaN();
  const double rank = std::clamp(p, 0.0, 1.0) * static_cast<double>(sorted.size() - 1);
  const auto below = static_cast<std::size_t>(rank);
  const std::size_t above = std::min(below + 1, sorted.size() - 1);
  return sorted[below] + (rank - std::floor(rank)) * (sorted[above] - sorted[below]);
}

double mean(std::span<const double> values) {
  double sum = 0;
  for (const double value : values) sum += value;
  return values.empty() ? std::numeric_limits<double>::quiet_NaN() : sum / static_cast<double>(values.size());
}

double rms(std::span<const double> values) {
  double sum = 0;
  for (const double value : values) sum += value * value;
  return values.empty() ? std::numeric_limits<double>::quiet_NaN()
                        : std::sqrt(sum / static_cast<double>(values.size()));
}

}  // namespace leeward::sim
