#pragma once
/// What a perfect test of a house would find.

#include "sim/house_spec.hpp"

namespace leeward::sim {

/// Flow of all elements with the same pressure across each, at reference air (20 degrees C, 1.2041 kg/m3).
/// Range   any finite pressure; negative gives a negative flow
[[nodiscard]] double true_flow_at(const HouseSpec& house, double pa);
[[nodiscard]] double true_q50_m3_s(const HouseSpec& house);
/// Exponent: least-squares slope of ln flow over ln pressure at 8 even pressures from 60 to 10 Pa.
/// Range   0 for a house without leaks
[[nodiscard]] double true_n(const HouseSpec& house);

}  // namespace leeward::sim
