#include "control/regulate/operating_point.hpp"

#include <algorithm>
#include <cmath>

#include "control/physics/flow_element.hpp"

namespace leeward::control {
namespace {

constexpr double kLeastPressure = 2.0;  // Pa: the curves say nothing below
constexpr double kCaution = 1.5;
constexpr double kUsualVolume = 500.0;   // m3, where none was told
constexpr double kPolytropic = 1.2;      // of the zone's air, between isothermal and adiabatic
constexpr double kFlex = 1.5;            // the envelope gives way as well: half as much as the air
constexpr double kLongestZoneTime = 20;  // s

/// By how much the fans' flow falls for each pascal that the house gains, at constant speed: an open fan
/// gives way, so that the house answers much faster than its leaks alone would let it.
double fan_slope_m3_s_pa(const PlantView& plant, double pressure_pa) {
  const double flow = flow_at(plant.house, pressure_pa) / std::max(1, plant.fans);
  const std::optional<double> speed =
      demand_for(plant.curve, flow, pressure_pa + lost_pressure_pa(plant.restriction, flow), 1.5);
  if (!speed || !(*speed > 0)) return 0;
  const auto pressure_at = [&](double q) {
    return plant.curve.rise_pa(*speed, q) - lost_pressure_pa(plant.restriction, q);
  };
  const double step = 0.05 * flow;
  const double fall = (pressure_at(flow - step) - pressure_at(flow + step)) / (2 * step);
  return fall > 0 ? plant.fans / fall : 0;
}

}  // namespace

double feedforward_frac(const PlantView& plant, double pressure_pa, double max_demand_frac) noexcept {
  if (!(pressure_pa > 0)) return 0;
  // A house that is hardly known is taken for a tight one: its leakage shows as the pressure rises, an
  // excess of demand would show only when the pressure has shot past.
  const double doubt = std::exp(-kCaution * flow_relative_u_at(plant.house, pressure_pa));
  const double flow = doubt * flow_at(plant.house, pressure_pa) / std::max(1, plant.fans);
  const std::optional<double> demand =
      demand_needed(plant.map, plant.curve, plant.restriction, flow, pressure_pa);
  return std::min(demand.value_or(max_demand_frac), max_demand_frac);
}

double plant_gain_pa(const PlantView& plant, double pressure_pa, double max_demand_frac) noexcept {
  const double at = std::max(kLeastPressure, pressure_pa);
  const double low = feedforward_frac(plant, 0.93 * at, 2.0);
  const double high = feedforward_frac(plant, 1.07 * at, 2.0);
  const double slope = high > low + 1e-6 ? 0.14 * at / (high - low) : 0;
  // A fan on a power-law leak: pressure grows with demand to the power of 1.5 to 2.
  const double demand = std::clamp(feedforward_frac(plant, at, max_demand_frac), 0.05, 1.0);
  const double usual = 1.8 * at / demand;
  return slope > 0 ? std::clamp(slope, 0.3 * usual, 3.0 * usual) : usual;
}

double zone_time_s(const PlantView& plant, double pressure_pa) noexcept {
  const double at = std::max(kLeastPressure, pressure_pa);
  const double volume = plant.volume_m3 > 0 ? plant.volume_m3 : kUsualVolume;
  const double compliance = kFlex * volume / (kPolytropic * 101325.0);
  const double leak_slope = exponent(plant.house) * flow_at(plant.house, at) / at;
  const double slope = leak_slope + fan_slope_m3_s_pa(plant, at);
  return slope > 0 ? std::min(kLongestZoneTime, compliance / slope) : kLongestZoneTime;
}

}  // namespace leeward::control
