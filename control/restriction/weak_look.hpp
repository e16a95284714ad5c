#pragma once
/// What a look says of a house when the fan-side signal is hardly more than its own error.

#include "control/estimate/house_curve.hpp"
#include "control/physics/fan_spec.hpp"

namespace leeward::control {

/// One steady look with a restriction fitted.
struct Look {
  double pressure_pa = 0;  ///< induced size
  double signal_pa = 0;    ///< averaged; its zero is known to kLookSignalU
  int fans = 1;
};

inline constexpr double kLookSignalU = 0.08;  ///< Pa, drift of a gauge's zero over some minutes

/// Whether a signal is too weak for ln(flow) to be read from it with a symmetrical error.
[[nodiscard]] bool is_weak(double signal_pa) noexcept;

/// The house after a weak look: what was believed before, weighed by how well each flow explains the signal.
/// A signal of nothing says how much the flow is at most, and leaves open how little it is.
/// @param before  without anything learnt from weak signals; only its level is judged anew
[[nodiscard]] HouseCurve after_weak_look(const HouseCurve& before, const RestrictionSpec& restriction,
                                         const Look& look) noexcept;

}  // namespace leeward::control
