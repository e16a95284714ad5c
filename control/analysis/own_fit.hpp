#pragma once
/// Our estimate of one direction: every cause of error that is known, none twice.

#include "control/analysis/density_correction.hpp"
#include "control/analysis/gls_fit.hpp"
#include "control/analysis/gust_filter.hpp"
#include "control/analysis/induced_station.hpp"
#include "control/analysis/stack_load.hpp"
#include "control/analysis/zero_flow.hpp"

namespace leeward::control {

/// Standard uncertainties that a record does not carry; the grounds are at their use.
inline constexpr double kFlowResolutionFrac = 0.001;  ///< of a mean flow, from the gauge's resolution
inline constexpr double kTemperatureUK = 0.29;        ///< of either air temperature: +-0.5 K, rectangular
inline constexpr double kBarometerUFrac = 0.001;      ///< of a station barometer
inline constexpr double kAltitudeWeatherUFrac =
    0.017;  ///< 3 % rectangular: weather about the standard atmosphere
/// A free exponent needs pressures this far apart (highest / lowest); below, one is assumed.
inline constexpr double kLeastPressureSpread = 1.2;

/// The stations that the fits take, with their independent uncertainties, at the leak's air.
/// Range   a standard error that is missing or not finite counts as 0, the resolution stays
[[nodiscard]] GlsPoints fit_points(const DirectionRecord& record,
                                   const FixedVector<StationResult, kMaxStations>& stations) noexcept;

/// What temperatures and height tell of the stack.
[[nodiscard]] StackSight stack_sight(const SiteAir& site, const BuildingSpec& building) noexcept;

struct OwnFit {
  bool ok = false;
  bool exponent_assumed = false;
  GlsFit env;                ///< at the leak's air, without the gauge's scale and the densities
  UncertainCurve reference;  ///< at reference air, with them
  bool has_by_data = false;
  UncertainCurve by_data;  ///< the same without a belief about the exponent
  GustProcess gusts{0, 0};
};

/// The exponent is free where the procedure fits one, there are 3 points (2 where it plans no more) and
/// they are apart; elsewhere the procedure's exponent is taken with its uncertainty.
/// @param zero       a known one
/// To reference air by density and viscosity, also where the procedure leaves the viscosity out.
/// @param reference  the air that the curve is stated at
[[nodiscard]] OwnFit own_fit(const DirectionRecord& record, const GlsPoints& points, const ZeroFlow& zero,
                             const SiteAir& site, const Air& reference, const RunRecord& run,
                             double flow_factor) noexcept;

}  // namespace leeward::control
