#pragma once
/// How far the leaks are loaded by the stack while nothing flows, as the neutral level tells it: the
/// zero-flow pressure says how high that is, and a building that leaks more at the top than at the bottom has
/// it high.

namespace leeward::control {

struct StackLoad {
  double mean_pa =
      0;  ///< of the leaks' pressures, indoor minus outdoor, weighted by their flow at test pressure
  double u_pa = 0;          ///< standard uncertainty
  double spread_pa2 = 0;    ///< mean square of the leaks' pressures
  double spread_u_pa2 = 0;  ///< standard uncertainty
};

struct StackSight {
  double stack_pa = 0;      ///< what indoor minus outdoor pressure gains over the height
  double ln_density = 0;    ///< of outdoor over indoor density
  double height_m = 0;      ///< above 0
  double zero_flow_pa = 0;  ///< indoor minus outdoor, at the tube's end
  double gust_pa = 0;       ///< standard deviation: wind moves the zero-flow pressure, too
  double n = 0.65;
};

/// Source   box model of Sherman and Grimsrud 1980 (from memory): a part R of the leaks in floor and ceiling,
///          the rest even over the walls. To first order its load is -R (1 - n) times how far the neutral
///          level is off the middle, and air of unequal density moves the level that goes without load
[[nodiscard]] StackLoad stack_load(const StackSight& sight) noexcept;

}  // namespace leeward::control
