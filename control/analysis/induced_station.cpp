#include "control/analysis/induced_station.hpp"

#include <cmath>

namespace leeward::control {

StationResult induced_station(const StationRecord& station, Direction d, const ZeroFlow& zero,
                              double flow_factor) noexcept {
  return {.target_pa = station.target_pa,
          .measured_pa = station.pressure_mean_pa,
          .induced_pa = along(d, station.pressure_mean_pa - zero.pressure_pa),
          .flow_read_m3_s = station.flow_mean_m3_s,
          .flow_m3_s = station.flow_mean_m3_s * flow_factor,
          .signal_pa = station.signal_mean_pa,
          .demand_frac = station.demand_mean_frac,
          .restriction = station.restriction,
          .residual = 0,
          .signal_in_range = station.signal_in_range,
          .settled = station.settled,
          .part = station.part};
}

bool fit_takes(const StationResult& station) noexcept {
  return std::isfinite(station.induced_pa) && std::isfinite(station.flow_m3_s) && station.induced_pa > 0 &&
         station.flow_m3_s > 0;
}

}  // namespace leeward::control
