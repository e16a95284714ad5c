#pragma once
/// What the cycle of a relay experiment says about the process.

#include <optional>

#include "control/regulate/relay_experiment.hpp"
#include "control/regulate/simc.hpp"

namespace leeward::control {

/// A limit cycle under a relay of half-amplitude d with hysteresis eps.
struct RelayCycle {
  double amplitude_pa = 0;  ///< a: half of the pressure's peak to peak
  double period_s = 0;
};

struct RelayMeasure {
  RelayCycle cycle;
  double high_s = 0;         ///< mean length of the halves with the higher demand ...
  double low_s = 0;          ///< ... and with the lower one
  double asymmetry = 0;      ///< (high - low)/(high + low): the load that the base demand is short of
  double offset_pa = 0;      ///< of the middle of the swing from the centre
  double period_spread = 0;  ///< standard deviation of the cycles' periods over their mean
};
/// Above it the formulas of a symmetric cycle do not hold.
inline constexpr double kMostAsymmetry = 0.1;

/// @returns nothing without a whole cycle
[[nodiscard]] std::optional<RelayMeasure> measure_of(const RelayState& state) noexcept;

/// Ku = 4 d/(pi sqrt(a^2 - eps^2)), by the describing function: 10 to 30 % low on a first-order lag.
/// Range   0 where a is not above eps
[[nodiscard]] double describing_function_gain(double d, double eps, double a) noexcept;

/// The cycle of gain e^(-delay s)/(tau s + 1), exact.
/// Range   gain d above eps, tau above 0
[[nodiscard]] RelayCycle relay_cycle_of(const LagModel& model, double d, double eps) noexcept;

/// The first-order model of a known gain whose cycle this is, exact; nothing where there is none.
[[nodiscard]] std::optional<LagModel> model_from_cycle(double gain, double d, double eps,
                                                       const RelayCycle& cycle) noexcept;

/// The cycle of slope e^(-delay s)/s, exact, and its inverse.
struct IntegratingModel {
  double slope = 1;
  double delay_s = 0;
};
[[nodiscard]] RelayCycle relay_cycle_of(const IntegratingModel& model, double d, double eps) noexcept;
[[nodiscard]] std::optional<IntegratingModel> integrating_from_cycle(double d, double eps,
                                                                     const RelayCycle& cycle) noexcept;

}  // namespace leeward::control
