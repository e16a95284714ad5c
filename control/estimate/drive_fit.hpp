#pragma once
/// From the readings of an experiment with a fan in a house that nobody knows: what drive and gauges are
/// like.

#include <cstdint>
#include <span>

#include "control/estimate/drive_found.hpp"
#include "control/estimate/fan_map.hpp"
#include "control/estimate/plant_model.hpp"

namespace leeward::control {

/// One sample of the experiment. Pressures are induced sizes along the direction of the test.
struct DriveReading {
  double dt_s = 0;         ///< since the reading before
  double demand_frac = 0;  ///< of this tick: it acts from the next sample on
  double pressure_pa = 0;
  double signal_pa = 0;
  bool pressure_good = false;
  bool signal_good = false;
};

enum class DriveFitEnd : std::uint8_t {
  good,
  too_few_readings,
  nothing_moved,  ///< neither gauge showed enough to learn from
  no_fit,         ///< the readings are none that this kind of drive could make
};

struct DriveFit {
  DriveFitEnd end = DriveFitEnd::too_few_readings;
  DriveFound found;   ///< known where end is good
  FoundFigure level;  ///< ln of the leakage at kPlantPivotPa, m3/s
  FoundFigure exponent;
  FoundFigure storage;  ///< ln of the zone's compliance, m3/Pa
  double highest_pa = 0;
  double highest_signal_pa = 0;
  double misfit = 0;   ///< rms of the residuals over what a gauge's noise makes: 1 where all is understood
  double quality = 0;  ///< 0..1: how much the readings say about the drive beyond what was believed before
  int rounds = 0;
};

/// Least squares over all readings at once: the plant's equations are run through the experiment for each
/// guess. Not for the step: it takes some tens of milliseconds.
/// @param model      fan and restriction; its lags are where the search begins
/// @param volume_m3  0 where not told
/// Errors  readings that are not finite are left out
[[nodiscard]] DriveFit fit_drive(std::span<const DriveReading> readings, const PlantModel& model,
                                 const FanMap& map, double volume_m3);

}  // namespace leeward::control
