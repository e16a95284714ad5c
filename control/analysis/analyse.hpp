#pragma once

#include "control/analysis/run_result.hpp"

namespace leeward::control {

/// Everything that a run states, from its averages.
///
/// Shape    pure; no allocation; well under 5 ms, so that it runs in a tick.
///          `standard_env` and `standard` are the procedure's own fit, at the leak's air and at the
///          procedure's reference air. `own` and the figures of the whole run are our estimate at standard
///          air (dry, 20 C, 101325 Pa: 1.2041 kg/m3), corrected for density, and for viscosity where the
///          procedure does so; their intervals hold every cause in `budget`, at 95 %.
///          For both directions the flow is the mean of the two, the exponent the mean exponent, C the
///          curve through both, the leakage areas those of that curve.
/// Range    stations with an induced size or flow not above 0 stay listed and enter no fit. Without a
///          zero-flow pressure nothing is computed. `own` is not valid where a free exponent was asked for
///          and had to be assumed; its figures stand, with the price of the assumption.
///          Figures per volume or area are unknown where the building's file does not give the size.
[[nodiscard]] RunResult analyse(const RunRecord& run) noexcept;

}  // namespace leeward::control
