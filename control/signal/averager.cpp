#include "control/signal/averager.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

constexpr std::int32_t kLeastBlocks = 4;
constexpr double kShortestTime = 0.02;  // of a block: as good as independent blocks
constexpr double kLongestTime = 0.25;   // of the record: longer ones can't be told from a drift
constexpr int kBisections = 40;

void merge_blocks(Averager& a) {
  for (std::int32_t i = 0; i + 1 < a.blocks; i += 2) {
    const auto k = static_cast<std::size_t>(i);
    a.block_means[k / 2] = 0.5 * (a.block_means[k] + a.block_means[k + 1]);
  }
  for (auto k = static_cast<std::size_t>(a.blocks / 2); k < kMaxBlocks; ++k) a.block_means[k] = 0;
  a.blocks /= 2;
  a.block_s *= 2;
}

void close_block(Averager& a) {
  if (a.blocks == static_cast<std::int32_t>(kMaxBlocks)) merge_blocks(a);
  a.block_means[static_cast<std::size_t>(a.blocks)] = a.open_sum / a.open_s;
  a.blocks += 1;
  a.open_s = a.open_sum = 0;
}

/// Variance of the mean over x integral times of a first-order process, in units of its variance.
double mean_variance(double x) { return x < 1e-4 ? 1 - x / 3 : 2 / x * (1 - (1 - std::exp(-x)) / x); }

/// Scatter of the block means about their mean, and how neighbours hang together.
struct Scatter {
  double variance = 0;
  double neighbours = 0;  ///< autocovariance at lag one
};

Scatter scatter_of(const Averager& a) {
  double mean = 0;
  for (std::int32_t i = 0; i < a.blocks; ++i) mean += a.block_means[static_cast<std::size_t>(i)] / a.blocks;
  Scatter s;
  double before = 0;
  for (std::int32_t i = 0; i < a.blocks; ++i) {
    const double d = a.block_means[static_cast<std::size_t>(i)] - mean;
    s.variance += d * d / a.blocks;
    if (i > 0) s.neighbours += d * before / (a.blocks - 1);
    before = d;
  }
  return s;
}

/// What a process of an integral time tau is expected to show in `scatter_of`, in units of its variance:
/// the variance of the mean itself is missing from both, since the mean was taken off.
Scatter expected(double tau_s, double block_s, double record_s) {
  const double x = block_s / tau_s;
  const double edge = (1 - std::exp(-x)) / x;
  const double of_mean = mean_variance(record_s / tau_s);
  return {mean_variance(x) - of_mean, edge * edge - of_mean};
}

/// Integral time whose expected scatter has the seen ratio; the ratio grows with it.
double integral_time_s(const Averager& a, const Scatter& seen, double record_s) {
  double low = std::log(kShortestTime * a.block_s);
  double high = std::log(kLongestTime * record_s);
  for (int i = 0; i < kBisections; ++i) {
    const double middle = 0.5 * (low + high);
    const Scatter e = expected(std::exp(middle), a.block_s, record_s);
    (e.neighbours * seen.variance < seen.neighbours * e.variance ? low : high) = middle;
  }
  return std::exp(0.5 * (low + high));
}

double standard_error(const Averager& a) {
  if (a.count < 2) return 0;
  const double sample_variance = a.m2 / static_cast<double>(a.count - 1);
  if (a.blocks < kLeastBlocks) {
    // Too short to see how samples hang together: as if each block were one sample.
    return std::sqrt(sample_variance / std::max(1.0, static_cast<double>(a.blocks)));
  }
  const double plain = std::sqrt(sample_variance / static_cast<double>(a.count));
  const double record_s = a.blocks * a.block_s;
  const Scatter seen = scatter_of(a);
  const double tau_s = integral_time_s(a, seen, record_s);
  const double process = seen.variance / expected(tau_s, a.block_s, record_s).variance;
  return std::max(plain, std::sqrt(process * mean_variance((record_s + a.open_s) / tau_s)));
}

}  // namespace

void add(Averager& a, double value, double dt_s) noexcept {
  if (!std::isfinite(value) || !(dt_s > 0)) return;
  a.count += 1;
  const double delta = value - a.mean;
  a.mean += delta / static_cast<double>(a.count);
  a.m2 += delta * (value - a.mean);
  if (value > 0) {
    a.positive_count += 1;
    a.positive_sum += value;
  } else if (value < 0) {
    a.negative_count += 1;
    a.negative_sum += value;
  }
  a.open_s += dt_s;
  a.open_sum += value * dt_s;
  if (a.open_s >= a.block_s * (1.0 - 1e-6)) close_block(a);
}

AverageSummary summary(const Averager& a) noexcept {
  AverageSummary out;
  out.count = a.count;
  out.mean = a.mean;
  out.sd = a.count > 1 ? std::sqrt(a.m2 / static_cast<double>(a.count - 1)) : 0;
  out.mean_se = standard_error(a);
  if (a.positive_count > 0) out.positive_mean = a.positive_sum / static_cast<double>(a.positive_count);
  if (a.negative_count > 0) out.negative_mean = a.negative_sum / static_cast<double>(a.negative_count);
  return out;
}

}  // namespace leeward::control
