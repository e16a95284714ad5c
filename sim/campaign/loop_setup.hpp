#pragma once
/// What the scenarios share: an engine in a loop with a house, told what a tool is told.

#include <cstdint>

#include "sim/campaign/closed_loop.hpp"
#include "sim/campaign/step_scenario.hpp"
#include "sim/campaign/told.hpp"

namespace leeward::sim {

inline constexpr double kHighestStation =
    60;  ///< Pa: a restriction that does not reach it is not the right one

/// Wind and noise of a house's seed: never the numbers from which the house itself was drawn.
[[nodiscard]] std::uint64_t plant_seed(std::uint64_t seed);

[[nodiscard]] control::EngineConfig config_of(const HouseSpec& house, const Tool& tool, std::uint64_t seed);

/// The restriction is fitted and the fan covered; the crew answers at once.
[[nodiscard]] ClosedLoop loop_of(const HouseSpec& house, const Tool& tool, int restriction,
                                 std::uint64_t seed);

/// Takes a zero-flow reading and uncovers the fan. @returns the true pressure's mean over it
double covered_mean_pa(ClosedLoop& loop, double seconds);

[[nodiscard]] control::Request hold_request(double target_pa, const Told& told);

/// The true pressure along the direction of the test.
[[nodiscard]] double induced_by_truth_pa(ClosedLoop& loop, double zero_pa);

}  // namespace leeward::sim
