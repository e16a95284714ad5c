#pragma once
/// A station after the zero-flow and density corrections: what the fits take.

#include "control/analysis/density_correction.hpp"
#include "control/analysis/run_result.hpp"
#include "control/analysis/zero_flow.hpp"

namespace leeward::control {

/// @param flow_factor  meter factor * leak factor
[[nodiscard]] StationResult induced_station(const StationRecord& station, Direction d, const ZeroFlow& zero,
                                            double flow_factor) noexcept;

/// Whether a station can stand in a logarithmic fit: induced size and flow finite and above 0. Stations
/// outside their restriction's range or taken unsettled stay in; they carry their flag.
[[nodiscard]] bool fit_takes(const StationResult& station) noexcept;

}  // namespace leeward::control
