#pragma once
/// Intervals where a good part of the uncertainty is of errors that lie evenly between two bounds.

namespace leeward::control {

/// Half-width of a two-sided interval of an even error and a normal one together, over that of a normal error
/// of the same variance: below 1 at the usual confidences, since an even error ends at its bounds.
/// @param confidence  0..1
/// @param share       0..1, of the variance that is even; of several even causes
///                    sqrt(sum of squared variances) / variance, which has the same fourth cumulant and
///                    for two of them is at most 2 % off while a tenth of the variance is normal
/// Source  JCGM 100:2008 4.3.7 (even error); the sum of both has its distribution in closed form
[[nodiscard]] double even_error_factor(double confidence, double share) noexcept;

}  // namespace leeward::control
