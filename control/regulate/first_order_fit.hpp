#pragma once
/// The first-order lag with delay that explains a record of demand and pressure best.

#include <optional>
#include <span>

#include "control/regulate/simc.hpp"

namespace leeward::control {

struct FirstOrderFit {
  LagModel model;
  double residual_pa = 0;     ///< standard deviation of what the model leaves
  double explained_frac = 0;  ///< of the pressure's variance: near 1 for a record that tells something
};

/// Where the lag and the delay are looked for.
struct FitRange {
  double least_tau_s = 0.1;
  double most_tau_s = 60;
  double most_delay_s = 10;
};

/// Least squares over gain, lag, delay, level and drift of the pressure. Between two samples the demand
/// stays as it was told; the delay need not be a number of samples.
/// Range   records of equal length of 20 samples and more, finite, the demand at rest at their start
/// @returns nothing where the demand does not move or the record is of no use
[[nodiscard]] std::optional<FirstOrderFit> fit_first_order(std::span<const double> demand,
                                                           std::span<const double> pressure_pa, double dt_s,
                                                           const FitRange& range = {}) noexcept;

}  // namespace leeward::control
