#pragma once

#include <cmath>

#include "sim/campaign/bootstrap.hpp"

namespace leeward::sim {

/// The 95 % interval of a share of which so many were seen. Unlike a bootstrap it says something where none
/// was, or all were. Range    0 to 1; NaN for none at all Source   score interval, Wilson 1927 (from memory;
/// the tests hold published values)
[[nodiscard]] inline BootstrapInterval share_interval(double seen, double all) {
  constexpr double z2 = 1.959963985 * 1.959963985;
  const double middle = (seen + z2 / 2) / (all + z2);
  const double half = std::sqrt(z2 * (seen * (all - seen) / all + z2 / 4)) / (all + z2);
  return {std::fmax(0, middle - half), std::fmin(1, middle + half)};
}

}  // namespace leeward::sim
