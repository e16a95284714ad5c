#pragma once
/// Something that went wrong in a test, as the record itself shows it.

#include <cstdint>

#include "control/fixed_vector.hpp"

namespace leeward::control {

enum class FindingKind : std::uint8_t {
  opening,            ///< a door, window or hatch; size: its flow over that of the leaks at 33 Pa
  seal_off,           ///< a smaller one that stayed; size as for the opening
  exhaust_fan,        ///< air moved by something else; size: m3/s out of the building, below 0 into it
  wrong_restriction,  ///< size: true flow over the flow as named; other: the restriction that explains it
  zero_flow_drift,    ///< of wind or gauge; size: Pa, after less before, signed as read
  unshared_wind,      ///< size: unrest of the reading that the house has no part in, Pa; other: the house's
  exponent_shift,     ///< size: exponent in the first direction less that in the second
  tubes_swapped,      ///< size: induced pressure along the direction, below 0, Pa
  wrong_floor_area,   ///< volume over floor area, m
  wrong_envelope,     ///< envelope area over volume, 1/m
  wrong_barometer,    ///< size: m of altitude between the stated pressure and the stated altitude
  signal_lost,        ///< no fan-side signal; size: stations
  signal_drift,       ///< size: Pa of the fan-side zero; other: the flow that this is worth, relative
  tube_kinked         ///< size: lag of the building pressure behind the flow beyond the building's own, s
};

/// How sure the kind is.
enum class FindingGrade : std::uint8_t { certain, likely, possible };

struct Finding {
  FindingKind kind = FindingKind::opening;
  FindingGrade grade = FindingGrade::possible;
  double sureness = 0;  ///< probability that it is this, 0 to 1
  int direction = -1;   ///< index into directions, -1 for the whole run
  int station = -1;     ///< in or before which it began; -1: not at one
  std::int64_t from_ns = 0;
  bool passing = false;  ///< it ended again at to_ns
  std::int64_t to_ns = 0;
  double size = 0;    ///< in the kind's unit
  double size_u = 0;  ///< standard uncertainty; 0 where there is none to state
  double other = 0;
  bool operator==(const Finding&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("kind", &Finding::kind);
    v("grade", &Finding::grade);
    v("sureness", &Finding::sureness);
    v("direction", &Finding::direction);
    v("station", &Finding::station);
    v("from_ns", &Finding::from_ns);
    v("passing", &Finding::passing);
    v("to_ns", &Finding::to_ns);
    v("size", &Finding::size);
    v("size_u", &Finding::size_u);
    v("other", &Finding::other);
  }
};

inline constexpr std::size_t kMaxFindings = 16;
using Findings = FixedVector<Finding, kMaxFindings>;

/// Certain from 0.99, likely from 0.9.
[[nodiscard]] constexpr FindingGrade grade_of(double sureness) noexcept {
  constexpr double certain = 0.99;
  constexpr double likely = 0.9;
  return sureness >= certain  ? FindingGrade::certain
         : sureness >= likely ? FindingGrade::likely
                              : FindingGrade::possible;
}

/// Probability that something at least so far from nothing is no chance, by the normal distribution: for a
/// figure of `z` standard uncertainties.
[[nodiscard]] double sureness_of(double z) noexcept;

}  // namespace leeward::control
