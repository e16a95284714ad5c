#pragma once

#include "sim/house_spec.hpp"

namespace leeward::sim {

/// The house with every number finite and within what the plant's formulas hold for; what is within
/// already stays as it is. What is not finite becomes the nearest to 0 that is allowed.
[[nodiscard]] HouseSpec cut_to_range(HouseSpec house);

}  // namespace leeward::sim
