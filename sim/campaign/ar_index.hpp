#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace leeward::sim {

/// An autoregressive model y_t = sum phi_k y_(t-k) + a_t, fitted by least squares.
struct ArModel {
  std::vector<double> phi;   ///< of lag 1 on; empty: could not be fitted
  double variance = 0;       ///< mean square of a
  double mean_square_y = 0;  ///< of the values that were predicted
};

/// @param values  about their mean; at least three times as many as the order
[[nodiscard]] ArModel fit_ar(std::span<const double> values, std::size_t order);

/// Share of the variance that the model cannot predict `horizon` values ahead: near 1 nothing is left to gain
/// for a loop that can act no sooner, near 0 nearly all could be taken away.
///
/// Shape    variance of a * (sum of f_i^2 for i < horizon) / mean square of y, f = impulse response
/// Range    NaN without a model; horizon 1 or more
/// Source   Harris 1989, Can. J. Chem. Eng. 67 (from memory); some authors state 1 minus this
[[nodiscard]] double unpredictable_share(const ArModel& model, std::size_t horizon);

}  // namespace leeward::sim
