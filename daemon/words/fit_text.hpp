#pragma once
/// What stands behind a curve, in one line each: our estimate and the procedure's own fit differ on purpose.

#include <string>

#include "control/procedure/procedure_spec.hpp"

namespace leeward::daemon {

[[nodiscard]] std::string own_fit_text(bool exponent_assumed);

/// Follows the switches of the procedure: exponent, viscosity, reference air.
[[nodiscard]] std::string standard_fit_text(const control::ProcedureSpec& procedure);

/// For a result whose exponent no measurement stands behind.
[[nodiscard]] std::string assumed_exponent_text(const control::ProcedureSpec& procedure);

}  // namespace leeward::daemon
