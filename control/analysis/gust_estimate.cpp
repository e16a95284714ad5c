#include "control/analysis/gust_estimate.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "control/analysis/gust_grid.hpp"

namespace leeward::control {
namespace {

constexpr double kBlockNoise = 0.03;  // Pa, of a block's mean
constexpr int kBisections = 60;
constexpr double kLongest = 36000;  // s

/// Of the blocks, not of the samples: the noise of single readings is no gust.
double sd_of_means(const WindowBlocks& blocks) {
  const auto count = static_cast<double>(blocks.means.size());
  double mean = 0;
  double squares = 0;
  for (const BlockMean& b : blocks.means) mean += b.pressure_pa / count;
  for (const BlockMean& b : blocks.means) squares += (b.pressure_pa - mean) * (b.pressure_pa - mean);
  return std::sqrt(squares / (count - 1));
}

/// Logarithm of the likelihood with the mean left free.
double ln_likelihood(const WindowBlocks& blocks, const GustProcess& gusts) {
  GustFilter filter(gusts);
  for (std::size_t i = 0; i < blocks.means.size(); ++i) {
    GustBlock block{.begin_s = static_cast<double>(i) * blocks.block_s,
                    .length_s = blocks.block_s,
                    .white_pa = kBlockNoise,
                    .y = blocks.means[i].pressure_pa};
    block.x[0] = 1;
    filter.absorb(block);
  }
  const GustSums& s = filter.sums();
  return -0.5 * (s.ln_variance + std::log(s.xx(0, 0)) + s.yy - s.xy[0] * s.xy[0] / s.xx(0, 0));
}

}  // namespace

double mean_sd_pa(const GustProcess& gusts, double seconds) noexcept {
  const double x = seconds / gusts.time_s;
  const double share = x < 1e-4 ? 1 - x / 3 : 2 / x * (1 - (1 - std::exp(-x)) / x);
  return gusts.sd_pa * std::sqrt(std::max(0.0, share));
}

double seconds_for_mean_sd(const GustProcess& gusts, double sd_pa) noexcept {
  if (gusts.sd_pa <= sd_pa) return 0;
  if (!(mean_sd_pa(gusts, kLongest) < sd_pa)) return std::numeric_limits<double>::infinity();
  double low = 0;
  double high = kLongest;
  for (int i = 0; i < kBisections; ++i) {
    const double middle = 0.5 * (low + high);
    (mean_sd_pa(gusts, middle) > sd_pa ? low : high) = middle;
  }
  return high;
}

GustProcess gusts_in(const WindowBlocks& blocks, double samples_sd_pa) noexcept {
  if (blocks.means.size() < 3)
    return {std::max(kLeastGusts, std::isfinite(samples_sd_pa) ? samples_sd_pa : 0.0), kLikelyGustTime};
  const double size = std::max(kLeastGusts, sd_of_means(blocks));
  double most = -std::numeric_limits<double>::infinity();
  double weights = 0;
  double ln_size = 0;
  double ln_time = 0;
  for (int i = 0; i < kGustGrid; ++i) {
    const GustProcess gusts = gust_grid_point(size, i);
    const double ln_weight = ln_likelihood(blocks, gusts) + ln_gust_prior(gusts);
    if (!std::isfinite(ln_weight)) continue;
    if (ln_weight > most) {  // all before it counts less now
      const double shrink = std::exp(most - ln_weight);
      weights *= shrink;
      ln_size *= shrink;
      ln_time *= shrink;
      most = ln_weight;
    }
    const double weight = std::exp(ln_weight - most);
    weights += weight;
    ln_size += weight * std::log(gusts.sd_pa);
    ln_time += weight * std::log(gusts.time_s);
  }
  if (!(weights > 0)) return {size, kLikelyGustTime};
  return {std::exp(ln_size / weights), std::exp(ln_time / weights)};
}

}  // namespace leeward::control
