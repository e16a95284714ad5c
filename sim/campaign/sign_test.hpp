#pragma once

namespace leeward::sim {

/// Two-sided p-value of a paired comparison: how likely a split at least this uneven is where a pair falls to
/// either side alike. Ties are left out by the caller. Makes no assumption on the size of the differences.
/// Range    1 for no pairs; exact binomial for any number
/// Source   sign test, Arbuthnott 1710; Conover, Practical Nonparametric Statistics (from memory)
[[nodiscard]] double sign_test_p(int lower, int higher);

}  // namespace leeward::sim
