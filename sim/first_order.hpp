#pragma once

#include "sim/fast_math.hpp"

namespace leeward::sim {

/// A first-order lag, exact for an input that stands still during the step.
struct FirstOrder {
  double lag_s = 0;  ///< 0 or less: none
  double value = 0;
  double step_s = -1;  ///< for which `keep` was worked out: steps seldom change their length
  double keep = 0;

  double follow(double input, double dt_s) {
    if (dt_s != step_s) {
      step_s = dt_s;
      constexpr double all_over = 50;
      keep = dt_s < all_over * lag_s ? fast_exp(-dt_s / lag_s) : 0;
    }
    return value = input + keep * (value - input);
  }
  bool operator==(const FirstOrder&) const = default;
};

}  // namespace leeward::sim
