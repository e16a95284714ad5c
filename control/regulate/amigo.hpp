#pragma once
/// Gains from a model of the plant by the AMIGO rules: robust without a choice to make.

#include "control/regulate/simc.hpp"

namespace leeward::control {

/// A controller in the form that pid_step takes.
struct IsaGains {
  double kc = 0;
  double ti_s = 0;
  double td_s = 0;
  double setpoint_weight = 1;
};

/// Range   gain not 0, tau and delay above 0; the second lag is not looked at
/// Source  Astrom & Hagglund, J. Process Control 14 (2004) 635-650; Advanced PID Control, 2006, ch. 7
/// (formulas
///         checked against two independent implementations)
[[nodiscard]] IsaGains amigo_pi(const LagModel& model) noexcept;
[[nodiscard]] IsaGains amigo_pid(const LagModel& model) noexcept;

/// For slope e^(-delay s)/s.
/// Source  the same (formulas from memory)
[[nodiscard]] IsaGains amigo_pi_integrating(double slope, double delay_s) noexcept;
[[nodiscard]] IsaGains amigo_pid_integrating(double slope, double delay_s) noexcept;

}  // namespace leeward::control
