#include "control/analysis/kept_parts.hpp"

#include <algorithm>

#include "control/analysis/zero_flow.hpp"

namespace leeward::control {
namespace {

double flow_factor(const ConditionsSpec& conditions, Direction direction, const RunRecord& run) {
  const SiteAir site = site_air(conditions);
  return meter_factor(direction, site, kg_per_m3(run.calibration_density_kg_m3)) *
         leak_factor(direction, site);
}

void move_reading(BaselineRecord& reading, double by_pa) {
  reading.mean_pa += by_pa;
  for (BlockMean& block : reading.blocks.means) block.pressure_pa += by_pa;
}

void move_station(StationRecord& station, double by_pa, double flow_ratio) {
  station.pressure_mean_pa += by_pa;
  station.flow_mean_m3_s *= flow_ratio;
  station.flow_mean_se_m3_s *= flow_ratio;
  for (BlockMean& block : station.blocks.means) {
    block.pressure_pa += by_pa;
    block.flow_m3_s *= flow_ratio;
  }
}

template <class Stations>
Stations of_last_part(const Stations& stations) {
  Stations out;
  for (const auto& station : stations)
    if (station.part == 0) out.push_back(station);
  return out;
}

}  // namespace

const ConditionsSpec& conditions_of(const RunRecord& run, const DirectionRecord& direction) noexcept {
  return direction.kept_whole ? direction.conditions : run.conditions;
}

DirectionRecord levelled(const DirectionRecord& direction, const RunRecord& run) noexcept {
  DirectionRecord out = direction;
  const ZeroFlow zero = zero_flow(direction.before, direction.after);
  if (!zero.known) return out;
  for (std::size_t i = 0; i < out.kept.size(); ++i) {
    KeptPart& part = out.kept[i];
    const double by_pa = zero.pressure_pa - zero_flow(part.before, {}).pressure_pa;
    const double flow_ratio = flow_factor(part.conditions, direction.direction, run) /
                              flow_factor(conditions_of(run, direction), direction.direction, run);
    move_reading(part.before, by_pa);
    for (StationRecord& station : out.stations)
      if (station.part == static_cast<int>(i) + 1) move_station(station, by_pa, flow_ratio);
  }
  return out;
}

bool has_parts(const RunRecord& run) noexcept {
  return std::any_of(run.directions.begin(), run.directions.end(),
                     [](const DirectionRecord& direction) { return !direction.kept.empty(); });
}

RunRecord last_part(const RunRecord& run) noexcept {
  RunRecord out = run;
  for (DirectionRecord& direction : out.directions) {
    direction.stations = of_last_part(direction.stations);
    direction.kept.clear();
  }
  return out;
}

RunResult last_part(const RunResult& result) noexcept {
  RunResult out = result;
  for (DirectionResult& direction : out.directions) direction.stations = of_last_part(direction.stations);
  return out;
}

int stations_before_last_part(const DirectionRecord& direction) noexcept {
  return static_cast<int>(std::count_if(direction.stations.begin(), direction.stations.end(),
                                        [](const StationRecord& station) { return station.part > 0; }));
}

}  // namespace leeward::control
