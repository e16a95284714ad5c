#include "sim/campaign/sign_test.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {

double sign_test_p(int lower, int higher) {
  const int pairs = lower + higher;
  const int fewer = std::min(lower, higher);
  // Terms of the binomial distribution of one half, in logarithms, since
  // 2^-pairs is beyond a double for many pairs.
  double ln_term = -pairs * std::log(2.0);
  double tail = 0;
  for (int k = 0; k <= fewer; ++k) {
    if (k > 0) ln_term += std::log(static_cast<double>(pairs - k + 1) / k);
    tail += std::exp(ln_term);
  }
  return std::min(1.0, 2 * tail);
}

}  // namespace leeward::sim
