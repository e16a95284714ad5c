#pragma once

#include <cstdint>

#include "sim/population_spec.hpp"

namespace leeward::sim {

/// Mean pressure coefficient of a wall of a low building.
/// @param incidence_rad  between the wind and the wall's normal
/// @param side_ratio     of this wall over its neighbour
/// Source   Swami and Chandra 1987, with 0.6 at normal incidence (from memory)
[[nodiscard]] double wall_wind_cp(double incidence_rad, double side_ratio);

/// The house of a seed. The same seed and population give the same house.
///
/// Ten leaks: four walls at a quarter and three quarters of the height, ceiling, floor. Houses in
/// which the fan cannot reach the pressure that the population asks for are left out: the seed's next
/// draw takes their place, at most 1000 times.
[[nodiscard]] HouseSpec random_house(std::uint64_t seed, const PopulationSpec& population);

/// Whether a house's first fan reaches a pressure in calm air, by its largest restriction.
[[nodiscard]] bool fan_reaches(const HouseSpec& house, double pa, double speed_frac);

}  // namespace leeward::sim
