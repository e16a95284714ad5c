#pragma once
/// Gains from a model of the plant by the SIMC rules.

namespace leeward::control {

/// gain e^(-delay s) / ((tau s + 1)(tau2 s + 1))
struct LagModel {
  double gain = 1;   ///< output per input
  double tau_s = 1;  ///< the larger lag
  double delay_s = 0;
  double tau2_s = 0;  ///< 0 for a PI rule
};

struct SimcGains {
  double kc = 0;
  double ti_s = 0;
  double td_s = 0;  ///< series form; 0 without a second lag
};

/// Kc = tau / (gain (tc + delay)), Ti = min(tau, 4 (tc + delay)), Td = tau2.
/// @param closed_loop_s  wanted closed-loop time constant tc; the rule's own choice is the delay
/// Range   gain not 0, tau > 0, tc + delay > 0
/// Source  Skogestad, J. Process Control 13 (2003) 291-309 (formulas from memory)
[[nodiscard]] SimcGains simc_gains(const LagModel& model, double closed_loop_s) noexcept;

/// The same for slope e^(-delay s)/(s (tau2 s + 1)), of which an infinite tau is the limit:
/// Kc = 1 / (slope (tc + delay)), Ti = 4 (tc + delay), Td = tau2.
/// Source  the same (formulas from memory)
[[nodiscard]] SimcGains simc_integrating(double slope, double delay_s, double tau2_s,
                                         double closed_loop_s) noexcept;

/// The same controller in the ISA form that pid_step takes: Kc (Ti s + 1)(Td s + 1)/(Ti s) multiplied out.
/// Range   Ti > 0; without Td it stays as it is
[[nodiscard]] SimcGains isa_form(const SimcGains& series) noexcept;

}  // namespace leeward::control
