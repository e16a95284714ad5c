#pragma once
/// Which restriction each station to come should be measured with: the fewest changes to be expected.

#include "control/restriction/served_table.hpp"

namespace leeward::control {

struct RestrictionPlan {
  FixedVector<int, kMaxStations> fitted;  ///< restriction index per station
  int changes = 0;                        ///< of the plan itself, the one before the first station included
  double expected_changes = 0;            ///< with those that its surprises will ask for
  double stay_changes = 0;                ///< expected, of the best plan that begins with what is fitted
  double regret_changes = 0;              ///< expected, above what the crew would need if it knew the house
  double served_p = 0;                    ///< probability that the plan's choice serves every station
};

/// The sequence with the fewest expected changes; among equals the one that is likeliest to serve every
/// station.
///
/// The crew follows the sequence; where a station turns out not to be suited by its restriction, the nearest
/// one that suits it is fitted for as long as that is so. What does not suit the first station is taken to
/// show in time, on the way there. Dynamic programming over the stations in order.
///
/// @param fitted        what is fitted now
/// @param first_change  what a change before the first station counts as, in changes: less than a later one
///                      where it breaks into no sequence of stations
[[nodiscard]] RestrictionPlan plan_restrictions(const ServedTable& table, int fitted,
                                                double first_change = 1) noexcept;

/// Changes that a crew would need that knew this possibility, having one of `start` fitted at the start.
[[nodiscard]] int fewest_changes(const Possibility& house, std::size_t stations,
                                 RestrictionSet start) noexcept;

/// What is fitted at a station where the plan says `planned`: that, or the nearest that suits.
[[nodiscard]] int instead_of(int planned, RestrictionSet suited) noexcept;

/// Bit s stands for station s of a table.
using StationSet = std::uint32_t;
static_assert(kMaxStations < 32);

/// Stations that most likely no restriction serves.
[[nodiscard]] StationSet unserved_stations(const ServedTable& table) noexcept;

/// Probability that one restriction serves every one of these stations.
[[nodiscard]] double serves_p(const ServedTable& table, int restriction, StationSet stations) noexcept;

/// Probability that one restriction suits the first station.
[[nodiscard]] double suits_first_p(const ServedTable& table, int restriction) noexcept;

}  // namespace leeward::control
