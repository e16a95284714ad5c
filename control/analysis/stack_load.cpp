#include "control/analysis/stack_load.hpp"

#include <cmath>

namespace leeward::control {
namespace {

constexpr double kInFloorAndCeiling = 0.5;  // R of the box model, its usual value
// Neutral level over the height: mostly 0.3 to 0.7 (ASHRAE Handbook Fundamentals, from memory).
constexpr double kLevelU = 0.12;
constexpr double kTubeHeight = 1.0;  // m, of the outdoor tube's end
constexpr double kTubeHeightU = 0.5;
constexpr double kZeroFlowU = 0.05;    // Pa, of the gauge and its zero
constexpr double kWindOfGusts = 2;     // steady wind pressure over the standard deviation of the gusts
constexpr double kUnevenWalls = 0.02;  // of the stack pressure: what no neutral level tells
constexpr double kSpreadU = 0.3;       // relative
constexpr double kLeastStack = 0.05;   // Pa: below it there is nothing to tell

double square(double v) { return v * v; }

/// How far unequal densities move the neutral level of an even building down, over the height.
double level_by_density(double ln_density, double n) {
  const double r = kInFloorAndCeiling;
  return 0.25 * ln_density * ((1 - r) / (n + 1) + r) / ((1 - r) / n + r);
}

}  // namespace

StackLoad stack_load(const StackSight& s) noexcept {
  constexpr double mean_square = kInFloorAndCeiling / 4 + (1 - kInFloorAndCeiling) / 12;
  StackLoad load;
  const double size_pa = std::abs(s.stack_pa);
  load.spread_pa2 = mean_square * square(s.stack_pa);
  load.spread_u_pa2 = kSpreadU * load.spread_pa2;
  if (size_pa < kLeastStack) return load;
  const double by_density = level_by_density(s.ln_density, s.n);
  const double seen = kTubeHeight / s.height_m - s.zero_flow_pa / s.stack_pa - 0.5;
  const double seen_u2 = square(kTubeHeightU / s.height_m) +
                         (square(kZeroFlowU) + square(kWindOfGusts * s.gust_pa)) / square(s.stack_pa);
  const double trusted = square(kLevelU) / (square(kLevelU) + seen_u2);
  const double slope = kInFloorAndCeiling * (1 - s.n);
  load.mean_pa = s.stack_pa * (by_density - slope * trusted * (seen + by_density));
  load.u_pa = size_pa * std::hypot(kUnevenWalls, slope * kLevelU * std::sqrt(1 - trusted));
  return load;
}

}  // namespace leeward::control
