#pragma once
/// A direction that was measured in parts, brought to one zero-flow pressure and one air.

#include "control/analysis/density_correction.hpp"
#include "control/analysis/run_record.hpp"
#include "control/analysis/run_result.hpp"

namespace leeward::control {

/// Air that the direction, or its last part, was measured in.
[[nodiscard]] const ConditionsSpec& conditions_of(const RunRecord& run,
                                                  const DirectionRecord& direction) noexcept;

/// Kept stations keep the pressure that their own part induced and the flow through the leaks that their own
/// air makes of it: both are written as they would read in the last part. Their zero-flow errors stay their
/// own; the fits see the part of each station.
[[nodiscard]] DirectionRecord levelled(const DirectionRecord& direction, const RunRecord& run) noexcept;

[[nodiscard]] bool has_parts(const RunRecord& run) noexcept;
/// The record without the stations of earlier parts, which were measured in another wind.
[[nodiscard]] RunRecord last_part(const RunRecord& run) noexcept;
[[nodiscard]] RunResult last_part(const RunResult& result) noexcept;
/// Stations of the direction that last_part() leaves out, which come first.
[[nodiscard]] int stations_before_last_part(const DirectionRecord& direction) noexcept;

}  // namespace leeward::control
