#include <algorithm>
#include <cmath>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/physics/standard_atmosphere.hpp"

namespace leeward::control {
namespace {

// Storeys are 2.2 to 4 m high, and a building has 0.3 to 1.5 m2 of envelope for each m3 (common practice; no
// source): outside, one of the two sizes is wrong.
constexpr double kLowestStorey = 2.2;
constexpr double kHighestStorey = 4.0;
constexpr double kLeastCompactness = 0.3;
constexpr double kMostCompactness = 1.5;
// Weather moves the barometer by +-3 % about the standard atmosphere, 250 m worth.
constexpr double kLeastAltitudeError = 550;
constexpr double kWeatherU = 150;  // m

void find_outside(double value, double low, double high, FindingKind kind, Findings& out) {
  if (value >= low && value <= high) return;
  const double limit = value < low ? low : high;
  const double factor = std::max(value / limit, limit / value);
  constexpr double beyond_doubt = 1.25;
  const double sureness = factor > beyond_doubt ? 0.99 : 0.9;
  out.push_back(
      {.kind = kind, .grade = grade_of(sureness), .sureness = sureness, .size = value, .other = limit});
}

/// Altitude of the standard atmosphere at a pressure.
double altitude_of(double pressure_pa) {
  double low = -2000;
  double high = 11000;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (standard_pressure(middle).si() > pressure_pa ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// An altitude of 0 is one that nobody has stated.
void find_wrong_barometer(const ConditionsSpec& c, Findings& out) {
  if (!c.has_barometric || c.altitude_m == 0) return;
  const double off = altitude_of(c.barometric_pa) - geopotential_altitude_m(c.altitude_m);
  if (!(std::abs(off) >= kLeastAltitudeError)) return;
  const double sureness = sureness_of(off / kWeatherU);
  out.push_back({.kind = FindingKind::wrong_barometer,
                 .grade = grade_of(sureness),
                 .sureness = sureness,
                 .size = off,
                 .size_u = kWeatherU});
}

}  // namespace

void find_wrong_inputs(const RunRecord& record, Findings& out) noexcept {
  const BuildingSpec& b = record.building;
  if (b.volume_m3 > 0 && b.floor_area_m2 > 0)
    find_outside(b.volume_m3 / b.floor_area_m2, kLowestStorey, kHighestStorey, FindingKind::wrong_floor_area,
                 out);
  if (b.volume_m3 > 0 && b.envelope_area_m2 > 0)
    find_outside(b.envelope_area_m2 / b.volume_m3, kLeastCompactness, kMostCompactness,
                 FindingKind::wrong_envelope, out);
  find_wrong_barometer(record.conditions, out);
}

}  // namespace leeward::control
