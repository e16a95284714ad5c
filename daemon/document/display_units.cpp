#include "daemon/document/display_units.hpp"

#include <cmath>

#include "control/analysis/customary_units.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {

namespace {

using control::kMetresPerFoot;

constexpr double kHourSeconds = 3600;
constexpr double kFtPerM = 1 / kMetresPerFoot;
// Conventional inch of mercury, 0 °C (from memory, as tables of units give it).
constexpr double kPaPerInchOfMercury = 3386.389;
constexpr double kMphPerMS = kHourSeconds / 1609.344;
constexpr double kKgM3PerLbFt3 = 0.45359237 / (kMetresPerFoot * kMetresPerFoot * kMetresPerFoot);

DisplayUnits metric_units() {
  DisplayUnits u;
  u.flow = {kHourSeconds, 0, "m³/h"};
  u.flow_per_area = {1, 0, "m³/(h·m²)"};
  u.coefficient = {kHourSeconds, 0, "m³/(h·Paⁿ)"};
  u.restriction_factor = {kHourSeconds, 0, "m³/(h·Paᵐ)"};
  u.volume = {1, 0, "m³"};
  u.area = {1, 0, "m²"};
  u.length = {1, 0, "m"};
  u.leak_area = {1e4, 0, "cm²"};
  u.temperature = {1, 0, "°C"};
  u.barometer = {0.01, 0, "hPa"};
  u.speed = {1, 0, "m/s"};
  u.density = {1, 0, "kg/m³"};
  return u;
}

DisplayUnits si_units() {
  DisplayUnits u = metric_units();
  u.flow = {1000, 0, "L/s"};
  u.flow_per_area = {1000 / kHourSeconds, 0, "L/(s·m²)"};
  u.coefficient = {1000, 0, "L/(s·Paⁿ)"};
  u.restriction_factor = {1000, 0, "L/(s·Paᵐ)"};
  return u;
}

DisplayUnits ip_units() {
  constexpr double kCfmPerM3S = kHourSeconds / control::kM3PerHPerCfm;
  DisplayUnits u;
  u.flow = {kCfmPerM3S, 0, "cfm"};
  u.flow_per_area = {1 / control::kM3PerHM2PerCfmPerFt2, 0, "cfm/ft²"};
  u.coefficient = {kCfmPerM3S, 0, "cfm/Paⁿ"};
  u.restriction_factor = {kCfmPerM3S, 0, "cfm/Paᵐ"};
  u.volume = {kFtPerM * kFtPerM * kFtPerM, 0, "ft³"};
  u.area = {kFtPerM * kFtPerM, 0, "ft²"};
  u.length = {kFtPerM, 0, "ft"};
  u.leak_area = {1 / control::kM2PerSquareInch, 0, "in²"};
  u.temperature = {1.8, 32, "°F"};
  u.barometer = {1 / kPaPerInchOfMercury, 0, "inHg"};
  u.speed = {kMphPerMS, 0, "mph"};
  u.density = {1 / kKgM3PerLbFt3, 0, "lb/ft³"};
  return u;
}

std::string after_figure(std::string figure, const std::string& unit) {
  return unit.empty() ? figure : figure + " " + unit;
}

}  // namespace

DisplayUnits display_units(UnitSystem system) {
  if (system == UnitSystem::si) return si_units();
  return system == UnitSystem::ip ? ip_units() : metric_units();
}

std::string figure_in(const DisplayUnit& unit, double si) { return figure_text(unit.shown(si), unit.name); }

std::string fixed_in(const DisplayUnit& unit, double si, int decimals) {
  if (!std::isfinite(si)) return "not known";
  return after_figure(fixed_text(unit.shown(si), decimals), unit.name);
}

std::string cell_in(const DisplayUnit& unit, double si) {
  return std::isfinite(si) ? figure_text(unit.shown(si), "") : std::string("-");
}

std::string cell_text(double value, int decimals) {
  return std::isfinite(value) ? fixed_text(value, decimals) : std::string("-");
}

std::string interval_in(const DisplayUnit& unit, const control::Interval& interval) {
  if (!interval.known || !std::isfinite(interval.low) || !std::isfinite(interval.high)) return "no interval";
  return after_figure(cell_in(unit, interval.low) + " to " + cell_in(unit, interval.high), unit.name);
}

}  // namespace leeward::daemon
