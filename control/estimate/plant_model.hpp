#pragma once
/// Fan, drive and house as the filter and the model law step them: what is told, and the equations.

#include "control/physics/fan_flow.hpp"

namespace leeward::control {

/// What is told and not estimated.
struct PlantModel {
  const FanCurve* curve = nullptr;
  const RestrictionSpec* restriction = nullptr;
  int fans = 1;
  bool covered = false;
  double fan_offset_pa = 0;  ///< what the fan works against beyond the induced pressure: the zero flow's
  double drive_slew_s = 7;   ///< from nothing to full speed
  double drive_lag_s = 1.2;
  double gauge_lag_s = 0.4;
  double signal_lag_s = 0.4;
  double wind_u_pa = 0.1;  ///< standard deviation of the gusts in the zero-flow pressure ...
  double wind_time_s = 4;  ///< ... and the time in which they change
};

/// Leakage flow at a pressure across the envelope, with its slope.
struct LeakFlow {
  double m3_s = 0;
  double per_pa = 0;  ///< above 0
};

/// Pressure at which the leakage is described by its level: inside the usual range, so that level and
/// exponent are nearly independent.
inline constexpr double kPlantPivotPa = 20;

/// Give of air and envelope together, over that of the air at constant temperature (common practice, no
/// source).
inline constexpr double kUsualGive = 1.7 / 1.2;

/// ln of a zone's compliance, m3/Pa.
/// @param volume_m3  0: not told
/// @param give       over that of the volume's air at constant temperature
[[nodiscard]] double ln_storage(double volume_m3, double give) noexcept;

/// Power law about the pivot; a straight line below a small pressure, so that the slope ends.
/// @param level  ln of the flow at the pivot, m3/s
[[nodiscard]] LeakFlow leak_flow(double level, double exponent, double across_pa) noexcept;

/// The drive's ramp after dt_s: towards the speed wanted, no faster than the slew.
[[nodiscard]] double ramp_step(const PlantModel& model, double ramp, double speed_wanted,
                               double dt_s) noexcept;

/// How the zone's pressure moves over dt_s, exact for straight slopes; where the zone is quick the whole way
/// to its rest.
struct ZoneStep {
  FanFlow fan;
  LeakFlow leak;
  double pull_per_s = 0;  ///< 1 over the zone's time constant, the fan's give included
  double settle_s = 0;    ///< the step's weight: dt_s where the zone is slow
  double rate_pa_s = 0;   ///< at the begin of the step
};

struct ZoneInput {
  double speed_frac = 0;  ///< middle of the step
  double pressure_pa = 0;
  double wind_pa = 0;
  double level = 0;
  double exponent = 0.65;
  double compliance_m3_pa = 0;
  double near_m3_s = 0;  ///< of one fan, at the last step
};

[[nodiscard]] ZoneStep zone_step(const PlantModel& model, const ZoneInput& in, double dt_s) noexcept;

}  // namespace leeward::control
