#pragma once
/// Exact sizes of the customary units that the faces print and that codes state their limits in.

namespace leeward::control {

inline constexpr double kMetresPerFoot = 0.3048;
inline constexpr double kM3PerHPerCfm = 60 * kMetresPerFoot * kMetresPerFoot * kMetresPerFoot;
inline constexpr double kM3PerHM2PerCfmPerFt2 = 60 * kMetresPerFoot;
inline constexpr double kM2PerSquareInch = 0.0254 * 0.0254;
/// Conventional: water of 1000 kg/m3 under standard gravity.
inline constexpr double kPascalsPerInchOfWater = 1000 * 9.80665 * 0.0254;

}  // namespace leeward::control
