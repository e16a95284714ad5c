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
  double open_s = 0;    ///< of the block that is being filled
  double open_sum = 0;  ///< time-weighted
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
/// Model    a first-order process: its integral time is the one whose block means would scatter, and hang
///          together from one block to the next, as those seen do, with what taking their mean off hides put
///          back; the error of the mean is s^2 (2 tau/T) (1 - tau/T (1 - e^(-T/tau))). Never below that of
///          independent samples; fewer than 4 blocks: one block's independent error is assumed
/// Limits   right within 5 % on average for records of 7 integral times and more, where 1.96 errors hold the
///          truth in 85 % (60 s of 8 s gusts) to 93 % of records, since the error is itself uncertain;
///          records shorter than five integral times can't show how long those are, and understate
/// Source   variance of the mean of a first-order process: textbook; the fit is ours (tests/control/signal)
[[nodiscard]] AverageSummary summary(const Averager& averager) noexcept;

}  // namespace leeward::control
