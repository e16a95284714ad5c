#pragma once
/// The experiments on the bench, from a hold and back to it.

#include "control/result.hpp"
#include "daemon/tune/tune_result.hpp"

namespace leeward::daemon {

/// Takes the zero-flow pressure, holds the pressure and waits until it stands.
/// Errors   the pressure was not reached, or something tripped
[[nodiscard]] control::Result<void> come_to_hold(TuneBench& bench, double pressure_pa);

/// What was learnt from the experiment, and the experiment. The regulator has the fan again after it.
/// Errors   it left its bounds twice, was drowned by the wind, tripped, or says nothing
struct Identified {
  control::LagModel model;
  TuneExperiment experiment;
};
[[nodiscard]] control::Result<Identified> relay_on(TuneBench& bench, double bound_pa);
[[nodiscard]] control::Result<Identified> step_on(TuneBench& bench, double bound_pa);

/// The same model from the learnt curves and the nominal lags alone.
[[nodiscard]] control::LagModel model_of_curves(const TuneBench& bench);

}  // namespace leeward::daemon
