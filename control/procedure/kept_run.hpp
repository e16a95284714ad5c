#pragma once
/// Going on with a run that was broken off: what of its record is kept, and what is still to be measured.

#include "control/request.hpp"

namespace leeward::control {

/// Of one direction.
enum class DirectionLeft : std::uint8_t {
  nothing,   ///< measured from the first reading to the last
  closing,   ///< all stations are there, the zero-flow reading after them is not
  stations,  ///< stations are missing
};
/// @param is_last  the run was in this direction when it broke off
[[nodiscard]] DirectionLeft left_of(const ProcedureSpec& procedure, const DirectionRecord& direction,
                                    bool is_last) noexcept;

/// Index of the station after the last one that the direction holds. Stations are walked in the order of the
/// procedure, and those that were out of reach are passed over.
[[nodiscard]] std::size_t next_station_of(const ProcedureSpec& procedure,
                                          const DirectionRecord& direction) noexcept;

/// Directions that a run measures, in their order.
[[nodiscard]] FixedVector<Direction, 2> directions_of(DirectionChoice choice) noexcept;

/// Whether what is kept can belong to this run. What a program hands over is not believed.
[[nodiscard]] Refusal kept_refusal(const RunSpec& run, const KeptRun& kept) noexcept;

/// The directions as the new record begins with them: stamps in the new engine time, stations that go on
/// being measured in another part behind their own zero-flow reading.
/// @param now_ns  of the request that takes the run up
[[nodiscard]] FixedVector<DirectionRecord, 2> taken_up(const RunSpec& run, const KeptRun& kept,
                                                       std::int64_t now_ns) noexcept;

[[nodiscard]] int kept_stations(const RunRecord& record) noexcept;

}  // namespace leeward::control
