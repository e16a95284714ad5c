#pragma once
/// Least squares of window means whose errors are means of one gusty, slowly forgetting pressure: what the
/// wind does to the zero-flow pressure and to every station, seen as one process in time.

#include <Eigen/Core>
#include <array>

namespace leeward::control {

/// A first-order (Ornstein-Uhlenbeck) process.
struct GustProcess {
  double sd_pa = 1;
  double time_s = 10;  ///< integral time
  bool operator==(const GustProcess&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("sd_pa", &GustProcess::sd_pa);
    v("time_s", &GustProcess::time_s);
  }
};

inline constexpr int kGustColumns = 11;
using GustRow = Eigen::Matrix<double, kGustColumns, 1>;
using GustNormal = Eigen::Matrix<double, kGustColumns, kGustColumns>;

/// One block: y = x . coefficients + mean of the process over the block + white noise.
struct GustBlock {
  double begin_s = 0;
  double length_s = 0;
  double white_pa = 0;  ///< standard deviation
  double y = 0;
  GustRow x = GustRow::Zero();
};

/// Weighted sums of squares and products of all blocks.
struct GustSums {
  GustNormal xx = GustNormal::Zero();
  GustRow xy = GustRow::Zero();
  double yy = 0;
  double ln_variance = 0;  ///< sum of the logarithms of the innovations' variances
  int blocks = 0;
};

/// What the filter does to each column at a block: the mean over it is expected to be into_mean * (pass *
/// value before), and the value after is keeps * (pass * value before) + gain * (what came less what was
/// expected).
struct GustStep {
  double pass = 0;
  double into_mean = 0;
  double keeps = 0;
  double gain = 0;
  double weight = 1;        ///< 1 / variance of what came less what was expected
  double end_variance = 0;  ///< of the process after the block
};
/// @param variance  of the process after the block before
/// @param gap_s     from there to this block; below 0: this is the first
[[nodiscard]] GustStep gust_step(const GustProcess& process, double variance, double gap_s, double length_s,
                                 double white_pa) noexcept;

/// Takes the blocks in the order of time, exactly as generalized least squares with the full covariance
/// of their means would, in a time that grows with their number and not with its cube.
/// Source   the process is Markov, so that its covariance factors (Kalman filter; textbook); means over a
///          block by its integral as a second state
class GustFilter {
 public:
  explicit GustFilter(const GustProcess& process) : process_(process) {}
  /// @param block  begins where the one before ended, or later
  void absorb(const GustBlock& block) noexcept { absorb(block, block.y); }
  /// @param y  stands in for the block's own
  void absorb(const GustBlock& block, double y) noexcept;
  [[nodiscard]] const GustSums& sums() const noexcept { return sums_; }

 private:
  GustProcess process_;
  GustSums sums_;
  bool started_ = false;
  double end_s_ = 0;
  double variance_ = 0;               ///< of the process at end_s_, given all before
  double mean_y_ = 0;                 ///< its mean, as it follows from y ...
  GustRow mean_x_ = GustRow::Zero();  ///< ... and from each column
};

}  // namespace leeward::control
