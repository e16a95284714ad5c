#pragma once
/// The gusts that a fit considers possible: a grid over size and time scale, and how likely each was before
/// anything was measured.

#include <algorithm>
#include <cmath>

#include "control/analysis/gust_filter.hpp"

namespace leeward::control {

inline constexpr double kLeastGusts = 0.004;  // Pa: calm air, less than a gauge can tell
/// Integral time (common practice: lengths of 30 to 70 m in a wind of 1 to 5 m/s).
inline constexpr double kLikelyGustTime = 15;   // s
inline constexpr double kGustTimeSpread = 0.9;  // of its logarithm

inline constexpr int kGustSizes = 9;
inline constexpr int kGustTimes = 7;
inline constexpr int kGustGrid = kGustSizes * kGustTimes;

/// @param size_pa  standard deviation that was seen; the grid goes from 0.4 to 6.4 times as much, in steps of
///                 the square root of two, and from 2 to 128 s in steps of two
[[nodiscard]] inline GustProcess gust_grid_point(double size_pa, int i) noexcept {
  constexpr double first_size = 0.4;
  constexpr double first_time_s = 2;
  const double size = size_pa * first_size * std::pow(2.0, 0.5 * (i % kGustSizes));
  return {std::max(kLeastGusts, size), first_time_s * std::pow(2.0, i / kGustSizes)};
}

/// Logarithm of the prior, up to a constant: any size, a log-normal time.
[[nodiscard]] inline double ln_gust_prior(const GustProcess& gusts) noexcept {
  const double z = std::log(gusts.time_s / kLikelyGustTime) / kGustTimeSpread;
  return -0.5 * z * z;
}

}  // namespace leeward::control
