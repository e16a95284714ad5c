#pragma once
/// Finds the gains of a rig's regulator on a simulated house.

#include "control/result.hpp"
#include "daemon/tune/tune_result.hpp"

namespace leeward::daemon {

/// Deterministic: rig, house and seed fix every figure. The fan is driven through the engine with all its
/// limits, the guard's included.
/// Errors   what is asked for is out of reach; the experiment said nothing, or had to be ended
[[nodiscard]] control::Result<TuneResult> tune(const TuneOptions& options);

/// Gains of a rule for a model.
[[nodiscard]] control::IsaGains gains_by(TuneRule rule, const control::LagModel& model);

/// The regulator with these settings on the house: a hold, then 3 Pa more or less.
[[nodiscard]] HouseTrial try_on_house(const TuneOptions& options, const control::RegulatorSpec& regulator);

}  // namespace leeward::daemon
