#pragma once
/// The zero of a gauge whose reading is never below 0: the noise about it is cut off, and its mean is too
/// high.

namespace leeward::control {

struct ClampedZero {
  bool known = false;  ///< false: next to nothing was above 0, the zero is far below
  double zero_pa = 0;
};

/// The mean of the normal noise whose part above 0 has the mean and standard deviation seen.
/// Range   a reading well above 0 is taken as it is; a zero of more than a standard deviation below 0
///         is not known
/// Source  moments of the rectified normal distribution, textbook; resolution acts like more noise
[[nodiscard]] ClampedZero clamped_zero(double mean_pa, double sd_pa) noexcept;

}  // namespace leeward::control
