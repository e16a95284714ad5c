#pragma once
/// The mean of a fluctuating signal with an honest standard error: neighbouring samples hang together,
/// so counting them as independent would understate it.

#include <array>
#include <cstdint>

namespace leeward::control {

inline constexpr std::size_t kMaxBlocks = 256;

/// Welford's running moments, and means of blocks of time for the autocorrelation. When the blocks
/// run out, neighbours are merged and blocks become twice as long.
struct Averager {
  std::int64_t count = 0;
  double mean = 0;
  double m2 = 0;
  std::int64_t positive_count = 0;
  double positive_sum = 0;
  std::int64_t negative_count = 0;
  double negative_sum = 0;
  double block_s = 1.0;
  double open_s = 0;      ///< of the block that is being filled
  double open_sum = 0;    ///< time-weighted
  std::int32_t blocks = 0;
  std::array<double, kMaxBlocks> block_means{};
  bool operator==(const Averager&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("count", &Averager::count);
    v("mean", &Averager::mean);
    v("m2", &Averager::m2);
    v("positive_count", &Averager::positive_count);
    v("positive_sum", &Averager::positive_sum);
    v("negative_count", &Averager::negative_count);
    v("negative_sum", &Averager::negative_sum);
    v("block_s", &Averager::block_s);
    v("open_s", &Averager::open_s);
    v("open_sum", &Averager::open_sum);
    v("blocks", &Averager::blocks);
    v("block_means", &Averager::block_means);
  }
};

struct AverageSummary {
  std::int64_t count = 0;
  double mean = 0;
  double sd = 0;             ///< of the samples
  double mean_se = 0;        ///< of the mean, autocorrelation taken into account
  double positive_mean = 0;  ///< of the samples above 0; 0 where there is none
  double negative_mean = 0;
};

/// Takes one sample that stands for dt_s. Not finite, or dt <= 0: left out.
void add(Averager& averager, double value, double dt_s) noexcept;

/// Units    as the samples
/// Source   batch means: s^2/N of about 12 batches of the record, times (1 + phi)/(1 - phi) for what lag-1
///          correlation phi is left between them; fewer than 8 blocks: one block's independent error is
///          assumed. Stated over true variance for a first-order process of 2 to 8 s: 0.9 to 1.3 for
///          records of 60 s and more (tests/control/signal); less for records that are shorter than the gusts.
[[nodiscard]] AverageSummary summary(const Averager& averager) noexcept;

}  // namespace leeward::control
