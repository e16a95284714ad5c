#pragma once
/// The zero-flow pressure that is subtracted from every station of a direction.

#include "control/analysis/run_record.hpp"

namespace leeward::control {

/// Standard uncertainty of a mean pressure from the resolution and rounding of the gauge alone.
inline constexpr double kPressureResolutionPa = 0.05;

struct ZeroFlow {
  bool known = false;      ///< false: no zero-flow pressure was taken, no induced pressure can be stated
  double pressure_pa = 0;  ///< signed
  double u_pa = 0;         ///< standard uncertainty, the same error at all stations
};

/// Mean of the averages before and after; of the one that there is where the other is missing.
/// Source   uncertainty: a quarter of the squares of both standard errors, and the drift between them as a
///          rectangular value of the time in between (difference^2 / 12), less the part of the difference
///          that the standard errors explain, since that part is counted already
[[nodiscard]] ZeroFlow zero_flow(const BaselineRecord& before, const BaselineRecord& after) noexcept;

/// Largest size of the sign-means of all averages, 0 where none was taken.
[[nodiscard]] double largest_sign_mean_pa(const DirectionRecord& direction) noexcept;

}  // namespace leeward::control
