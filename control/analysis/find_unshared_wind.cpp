#include <algorithm>
#include <cmath>

#include "control/analysis/diagnosis_parts.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/physics/flow_element.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

// At a kept speed a pressure of the building pushes the fan along its curve; what moves the reading alone
// comes from the outdoor tube's end or from the fan's outlet, each against the other: the readings do not
// tell which of them stands in the wind.
constexpr double kLeastUnrest = 0.5;     // Pa: what is less costs the result little
constexpr double kOverHouse = 2.0;       // times the building's own unrest
constexpr double kFlowToldNoise = 0.05;  // Pa, of a block's pressure as the flow tells it
constexpr double kPerWind = 0.024;       // Pa for each (m/s)^2 of the reported wind
constexpr double kWithoutReport = 0.5;   // Pa, where no wind was reported
constexpr double kLeastWind = 1;         // m/s
constexpr int kLeastFreedom = 6;

/// How the building's pressure moves with the flow at a kept speed.
/// @returns 0 where the curve tells nothing
double slope_pa_s_m3(const FanSpec& fan, const FanCurve& curve, const StationRecord& s, double induced_pa,
                     int fans) {
  const RestrictionSpec& r = fan.restrictions[static_cast<std::size_t>(s.restriction)];
  const double flow = s.flow_mean_m3_s / fans;
  const double rise = std::max(1.0, induced_pa + lost_pressure_pa(r, flow));
  constexpr double beyond_full = 2;  // the unit may be stronger than its file
  const auto speed = demand_for(curve, flow, rise, beyond_full);
  if (!speed || !(flow > 0)) return 0;
  constexpr double part = 1e-3;
  const auto left = [&](double q) { return curve.rise_pa(*speed, q) - lost_pressure_pa(r, q); };
  return (left(flow * (1 + part)) - left(flow * (1 - part))) / (2 * part * flow * fans);
}

struct WindUnrest {
  double tap = 0;  ///< sums of squares
  double house = 0;
  int freedom = 0;
  WindUnrest& operator+=(const WindUnrest& o) {
    tap += o.tap;
    house += o.house;
    freedom += o.freedom;
    return *this;
  }
  WindUnrest& operator-=(const WindUnrest& o) { return *this += {-o.tap, -o.house, -o.freedom}; }
};

/// In the first block a slow drive may still be coming to the speed that is kept: it is left out.
WindUnrest station_unrest(const DirectionRecord& d, const StationRecord& s, double slope) {
  WindUnrest to;
  const std::size_t blocks = s.blocks.means.size();
  const auto count = static_cast<double>(blocks - 1);
  double pressure = 0;
  double flow = 0;
  for (std::size_t i = 1; i < blocks; ++i) {
    pressure += along(d.direction, s.blocks.means[i].pressure_pa) / count;
    flow += s.blocks.means[i].flow_m3_s / count;
  }
  for (std::size_t i = 1; i < blocks; ++i) {
    const BlockMean& b = s.blocks.means[i];
    const double by_flow = slope * (b.flow_m3_s - flow);
    const double alone = along(d.direction, b.pressure_pa) - pressure - by_flow;
    to.tap += alone * alone;
    to.house += by_flow * by_flow;
  }
  to.freedom = static_cast<int>(blocks) - 2;
  return to;
}

/// Whether the readings are unsteady at all: cheaper than the fan's curve.
bool is_calm(const RunRecord& record) {
  double most = 0;
  for (const DirectionRecord& d : record.directions)
    for (const StationRecord& s : d.stations)
      for (const BlockMean& b : s.blocks.means)
        most = std::max(most, std::abs(b.pressure_pa - s.pressure_mean_pa));
  return most < kLeastUnrest;
}

/// A station with more of it than all others is left out: a shift of the zero-flow pressure has fallen into
/// it.
WindUnrest unrest_of(const RunRecord& record, const FanCurve& curve, const Findings& found) {
  WindUnrest unrest;
  WindUnrest most;
  for (std::size_t i = 0; i < record.directions.size(); ++i) {
    const DirectionRecord& d = record.directions[i];
    if (has_finding(found, FindingKind::wrong_restriction, static_cast<int>(i))) continue;
    for (const StationRecord& s : d.stations) {
      if (!s.usable() || s.blocks.means.size() < 3) continue;
      if (s.restriction < 0 || static_cast<std::size_t>(s.restriction) >= record.fan.restrictions.size())
        continue;
      const double slope = slope_pa_s_m3(record.fan, curve, s, along(d.direction, s.pressure_mean_pa),
                                         std::max(1, record.fan_count));
      if (!(slope < 0)) continue;
      const WindUnrest here = station_unrest(d, s, slope);
      unrest += here;
      if (here.tap > most.tap) most = here;
    }
  }
  if (most.tap > 0.5 * unrest.tap) unrest -= most;
  return unrest;
}

}  // namespace

void find_unshared_wind(const RunRecord& record, Findings& out) noexcept {
  if (!record.procedure.keep_speed || is_calm(record)) return;
  const auto curve = FanCurve::make(record.fan.curve);
  if (!curve) return;
  const WindUnrest unrest = unrest_of(record, *curve, out);
  if (unrest.freedom < kLeastFreedom) return;
  const double tap = std::sqrt(std::max(0.0, unrest.tap) / unrest.freedom);
  const double house = std::sqrt(std::max(0.0, unrest.house) / unrest.freedom);
  const double wind = std::max(kLeastWind, record.conditions.wind_m_s);
  const double expected = record.conditions.has_wind ? kPerWind * wind * wind : kWithoutReport;
  const double by_house = kOverHouse * (house + kFlowToldNoise);
  if (tap < kLeastUnrest || tap < expected || tap < by_house) return;
  constexpr double beyond_doubt = 1.5;
  const double sureness = tap > beyond_doubt * std::max(expected, by_house) ? 0.99 : 0.9;
  out.push_back({.kind = FindingKind::unshared_wind,
                 .grade = grade_of(sureness),
                 .sureness = sureness,
                 .size = tap,
                 .size_u = tap / std::sqrt(2.0 * unrest.freedom),
                 .other = house});
}

}  // namespace leeward::control
