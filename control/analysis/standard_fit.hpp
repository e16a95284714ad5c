#pragma once
/// The procedure's own fit, with the interval that its standard states: the scatter of the stations alone.

#include "control/analysis/gls_fit.hpp"

namespace leeward::control {

/// Fit at the air that enters the leaks.
///
/// Shape    least squares of the logarithms; two points give the line through both, its interval from the
///          points' own uncertainties; a fixed exponent gives the mean of ln q - n ln p, its interval from
///          the scatter (of one point: from its own uncertainty) and from the exponent's
/// Errors   not valid with too few points for the method
/// Source   unweighted log-log regression with Student's t and the interval of the line at the reference
///          pressure, as the annexes of ISO 9972 and ASTM E779 have it (from memory)
[[nodiscard]] FitResult standard_fit(const GlsPoints& points, const ProcedureSpec& procedure) noexcept;

/// The same fit at other air: C and the flow times a factor, n as it is.
[[nodiscard]] FitResult scaled(const FitResult& fit, double factor) noexcept;

}  // namespace leeward::control
