#pragma once
/// The least time in which anything could settle a pressure step: the yardstick of the step scenario.

#include <span>
#include <vector>

#include "sim/plant.hpp"

namespace leeward::sim {

/// What counts as settled, for the tool and for the yardstick alike.
inline constexpr double kSettledWithinPa = 1;

/// Seconds from the first sample (which counts as 0) to the one from which on all are within the band; the
/// whole length where the last is outside.
[[nodiscard]] double settling_time_s(std::span<const double> pressure_pa, double target_pa, double sample_s);

/// Settling times of one step up after another by someone who knows all of house, drive and fan: full slew
/// up, full slew down to brake, full slew to the steady speed, with the two switching times that settle
/// soonest without ever passing the band's upper end; found by search against the plant itself.
///
/// @param house        calm: with wind the result means nothing
/// @param restriction  fitted
/// @param covered_s    fan covered before the first step: the mean there is the zero of the pressure
/// @param targets_pa   the first step starts from a fan at rest, each other one from the steady state of the
///                     target before it
/// @param each_s       time of a step; a target that cannot be settled within it gets this
/// @returns one time a target; NaN for a step down
[[nodiscard]] std::vector<double> floor_times_s(const HouseSpec& house, int restriction, double covered_s,
                                                std::span<const double> targets_pa, double each_s);

}  // namespace leeward::sim
