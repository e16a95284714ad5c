#pragma once
/// From many lags and zeros to the one or two lags and the delay that a tuning rule takes.

#include "control/regulate/process_model.hpp"
#include "control/regulate/simc.hpp"

namespace leeward::control {

enum class ModelOrder : unsigned char { first, second };

/// What the half rule leaves. With an integrator `gain` is the slope k' of k'/s, and `tau_s` is infinite: the
/// integrator is the one lag that a first-order model keeps.
struct ReducedModel {
  LagModel model;
  bool integrates = false;
};

/// The largest lag that is left out gives half of itself to the delay and half to the smallest kept lag;
/// smaller lags and inverse-response zeros go to the delay whole, a sampled loop adds half its period.
///
/// A zero T0 that answers the right way is cancelled first, against the lag tau0 next above it, or where
/// there is none the one next below. (T0 s + 1)/(tau0 s + 1) becomes
///   T0/max(tau0, theta)                        T0 >= tau0, T0 >= theta
///   1                                          theta >= T0 >= tau0
///   T0/tau0                                    tau0 >= T0 >= 5 theta
///   (t/tau0)/((t - T0) s + 1), t = min(tau0, 5 theta)  otherwise
/// with theta the delay that the model ends up with.
/// Range    lags above 0, at least one of them or an integrator
/// Source   Skogestad, J. Process Control 13 (2003) 291-309 (rules from memory)
[[nodiscard]] ReducedModel half_rule(const ProcessModel& process, ModelOrder order,
                                     double period_s = 0) noexcept;

}  // namespace leeward::control
