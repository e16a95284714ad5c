#pragma once
/// The zero of a gauge whose reading is never below 0: the noise about it is cut off, and its mean is too
/// high.

namespace leeward::control {

struct ClampedZero {
  bool known = false;  ///< false: next to nothing was above 0, the zero is far below
  double zero_pa = 0;
};

/// The mean of the normal noise that, rounded to steps and cut off below 0, has the mean and standard
/// deviation seen. Without the steps the zero would come out too low, since half a step above 0 is lost too.
/// @param step_pa  of the readings; 0: too fine to matter
/// Range   a reading well above 0 is taken as it is; a zero of more than a standard deviation below 0, or a
///         noise that hides behind the steps, is not known
/// Source  moments of the rounded and rectified normal distribution, textbook
[[nodiscard]] ClampedZero clamped_zero(double mean_pa, double sd_pa, double step_pa) noexcept;

}  // namespace leeward::control
