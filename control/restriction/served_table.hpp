#pragma once
/// Which restrictions serve which stations, in each of many houses and fans that what has been learnt leaves
/// possible.

#include <array>
#include <cstdint>
#include <span>

#include "control/estimate/fan_map.hpp"
#include "control/estimate/house_curve.hpp"
#include "control/physics/fan_spec.hpp"
#include "control/procedure/procedure_spec.hpp"

namespace leeward::control {

/// Bit k stands for restriction k.
using RestrictionSet = std::uint16_t;
static_assert(kMaxRestrictions <= 16);

inline constexpr std::size_t kPossibilities = 128;

/// One of the houses and fans that are possible; all weigh the same.
struct Possibility {
  /// Restrictions that keep the signal inside its range and reach the station with demand to spare.
  std::array<RestrictionSet, kMaxStations> served{};
  /// The same, or where there is none, the one that comes nearest. Never empty.
  std::array<RestrictionSet, kMaxStations> suited{};
};

struct ServedTable {
  std::size_t stations = 0;
  std::size_t restrictions = 0;
  std::size_t possibilities = 0;
  std::array<Possibility, kPossibilities> rows{};

  [[nodiscard]] std::span<const Possibility> possible() const { return {rows.data(), possibilities}; }
};

/// All that is known of a building and a fan when a restriction is to be chosen.
struct RestrictionView {
  HouseCurve house;
  const FanMap& map;
  const FanCurve& curve;
  const FanSpec& fan;
  int fans = 1;
  double demand_max_frac = 1;
  int fitted = 0;
  /// The one fitted has shown that it does not serve the next station, whatever the curves say.
  bool fitted_fails = false;
};

/// @param stations_pa  induced sizes in the order they will be visited
[[nodiscard]] ServedTable served_table(const RestrictionView& view,
                                       std::span<const double> stations_pa) noexcept;

/// Possibility number i of the house: its parameters drawn evenly from their joint uncertainty.
[[nodiscard]] HouseCurve possible_house(const HouseCurve& house, std::size_t i) noexcept;

}  // namespace leeward::control
