#include "sim/campaign/bootstrap.hpp"

#include <algorithm>
#include <limits>

#include "sim/campaign/percentile.hpp"
#include "sim/rng.hpp"

namespace leeward::sim {

namespace {

/// Draws as many values as there are and leaves them ascending: counting is cheaper than sorting.
void draw_again(const std::vector<double>& sorted, Rng& rng, std::vector<int>& counts,
                std::vector<double>& out) {
  std::fill(counts.begin(), counts.end(), 0);
  const auto size = static_cast<double>(sorted.size());
  for (std::size_t i = 0; i < sorted.size(); ++i) ++counts[static_cast<std::size_t>(size * rng.uniform())];
  out.clear();
  for (std::size_t i = 0; i < sorted.size(); ++i)
    out.insert(out.end(), static_cast<std::size_t>(counts[i]), sorted[i]);
}

}  // namespace

std::vector<BootstrapInterval> bootstrap_intervals(std::span<const double> values,
                                                   std::span<const Statistic> statistics, std::uint64_t seed,
                                                   int resamples) {
  constexpr double none = std::numeric_limits<double>::quiet_NaN();
  std::vector<BootstrapInterval> intervals(statistics.size(), {none, none});
  if (values.empty()) return intervals;
  std::vector<double> sorted(values.begin(), values.end());
  std::sort(sorted.begin(), sorted.end());
  std::vector<int> counts(sorted.size());
  std::vector<double> again;
  std::vector<std::vector<double>> seen(statistics.size());
  Rng rng(seed, 3000);
  for (int i = 0; i < resamples; ++i) {
    draw_again(sorted, rng, counts, again);
    for (std::size_t k = 0; k < statistics.size(); ++k) seen[k].push_back(statistics[k](again));
  }
  for (std::size_t k = 0; k < statistics.size(); ++k) {
    std::sort(seen[k].begin(), seen[k].end());
    intervals[k] = {percentile(seen[k], 0.025), percentile(seen[k], 0.975)};
  }
  return intervals;
}

}  // namespace leeward::sim
