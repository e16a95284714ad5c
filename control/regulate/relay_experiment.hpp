#pragma once
/// A relay in place of the regulator: the loop swings by itself, small and bounded, and shows its gain and
/// period at the edge of stability.

#include <cstdint>

#include "control/fixed_vector.hpp"
#include "control/regulate/experiment_watch.hpp"

namespace leeward::control {

struct RelaySpec {
  double amplitude_frac = 0.02;  ///< half the way between the two demands
  double hysteresis_pa = 0.3;    ///< the relay turns this far beyond the centre: above 3 sd of the noise
  ExperimentBounds bounds;
  std::int32_t cycles = 4;  ///< whole ones that are measured, at most kMostCycles ...
  std::int32_t settle = 2;  ///< ... after so many that are not
};
inline constexpr std::int32_t kMostCycles = 12;

/// One half of a cycle, between two switches.
struct RelayHalf {
  double lasted_s = 0;
  double extreme_pa = 0;  ///< lowest of one with the higher demand, highest of the other; from the centre
};

struct RelayState {
  ExperimentWatch watch;
  double base_frac = 0;  ///< demand before and after
  bool high = true;      ///< the demand is the higher one
  double since_switch_s = 0;
  double extreme_pa = 0;
  std::int32_t switches = 0;
  FixedVector<RelayHalf, 2 * kMostCycles> halves;  ///< measured, a low one first
};

/// From a hold: the demand that it is held with and the pressure that it has.
[[nodiscard]] RelayState relay_start(double base_frac, double centre_pa) noexcept;

/// One tick.
/// @returns the demand: base plus or minus the amplitude, base again from the tick on that ends it
[[nodiscard]] double relay_step(const RelaySpec& spec, RelayState& state, const ExperimentInput& in) noexcept;

}  // namespace leeward::control
