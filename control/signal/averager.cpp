#include "control/signal/averager.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::control {
namespace {

constexpr std::int32_t kLeastBlocks = 8;
constexpr int kBatches = 12;
constexpr double kMostLagOne = 0.8;  // more cannot be told from a drift in so few batches

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

/// Blocks joined into about a dozen batches: long enough to be nearly independent, enough of them to
/// tell their scatter.
struct Batches {
  std::array<double, 2 * kBatches> means{};
  int count = 0;
  double mean = 0;
  double variance = 0;
  double lag_one = 0;  ///< autocorrelation of neighbours
};

Batches batches_of(const Averager& a) {
  Batches b;
  const int length = std::max(1, a.blocks / kBatches);
  for (int i = 0; i + length <= a.blocks && b.count < 2 * kBatches; i += length) {
    double sum = 0;
    for (int k = i; k < i + length; ++k) sum += a.block_means[static_cast<std::size_t>(k)];
    b.means[static_cast<std::size_t>(b.count++)] = sum / length;
  }
  for (int i = 0; i < b.count; ++i) b.mean += b.means[static_cast<std::size_t>(i)] / b.count;
  double squares = 0, products = 0;
  for (int i = 0; i < b.count; ++i) {
    const double d = b.means[static_cast<std::size_t>(i)] - b.mean;
    squares += d * d;
    if (i > 0) products += d * (b.means[static_cast<std::size_t>(i - 1)] - b.mean);
  }
  b.variance = squares / (b.count - 1);
  if (squares > 0) b.lag_one = std::clamp(products / squares * b.count / (b.count - 1), 0.0, kMostLagOne);
  return b;
}

double standard_error(const Averager& a) {
  if (a.count < 2) return 0;
  const double plain = std::sqrt(a.m2 / static_cast<double>(a.count - 1) / static_cast<double>(a.count));
  if (a.blocks < kLeastBlocks) {
    // Too short to see how samples hang together: as if each block of 1 s were one sample.
    const double blocks = std::max(1.0, static_cast<double>(a.blocks));
    return std::sqrt(a.m2 / static_cast<double>(a.count - 1) / blocks);
  }
  const Batches b = batches_of(a);
  return std::max(plain, std::sqrt(b.variance / b.count * (1.0 + b.lag_one) / (1.0 - b.lag_one)));
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
