#pragma once

#include "control/analysis/curve_uncertainty.hpp"

namespace leeward::control {

/// The curve of both directions: through the mean of their flows at the reference pressure, with the mean
/// of their exponents. Calibration, the gauge's scale, temperatures, barometer and an assumed exponent are
/// common to both and add with their signs; zero-flow pressure and scatter add by squares.
[[nodiscard]] UncertainCurve mean_curve(const UncertainCurve& a, const UncertainCurve& b,
                                        double reference_pa) noexcept;

}  // namespace leeward::control
