#pragma once
/// What can go wrong in a staged run: kinds, sizes, and which finding or stop names each.

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>

#include "control/analysis/finding.hpp"
#include "control/phase.hpp"
#include "sim/plant_event.hpp"
#include "sim/rng.hpp"

namespace leeward::bench {

/// What goes wrong, with its least size where it has one. "Inside the stations": 5 s or more after the first
/// began to be averaged and 8 s or more before the last ends.
enum class Mishap : std::uint8_t {
  none,
  opening,  ///< a sharp opening of 10 % of the flow at 50 Pa, from a random time inside the stations on
  passing_opening,  ///< the same, shut again after 20 to 60 s
  seal_off,         ///< 5 % of the flow at 50 Pa, likewise
  exhaust_fan,      ///< 5 % of q50, likewise
  wrong_fit,        ///< at a change of restriction between stations the crew fits a neighbour and keeps to it
  wrong_start,      ///< another restriction than the rig file names, and none is asked for
  drift_step,       ///< the zero-flow pressure shifts by 2 Pa at a random time inside the stations
  drift_ramp,       ///< the same slowly, in 80 s from the first station on
  tap_in_wind,      ///< the outdoor tube ends at a wall: pressure coefficient 0.6 or -0.6
  flap,             ///< a flap of 15 % of q50 that opens outwards, ever wider
  uneven_wind,      ///< 70 % of the leaks in the lee, the others windward, in twice the wind
  high_barometer,   ///< sea-level pressure stated at 800 to 3000 m
  wrong_volume,     ///< stated twice as large
  // These have no least size.
  gauge_drift,     ///< the gauge's zero drifts by 1 to 5 Pa in 10 min from the first station on
  water_in_tube,   ///< a slug of 0.5 to 3 mm comes into the tube inside the stations: 5 to 30 Pa
  kinked,          ///< the building tube is kinked inside the stations: a lag of 5 to 30 s
  kinked_early,    ///< the same before the test
  tubes_swapped,   ///< before the test
  tube_off,        ///< the building tube comes off inside the stations
  tube_off_early,  ///< the same before the test
  gauge_stuck,     ///< the building gauge reads on what it read, inside the stations
  signal_off,      ///< the fan-side tube comes off inside the stations
  signal_off_early,
  signal_stuck,  ///< the fan-side gauge reads on what it read, inside the stations
  count
};
inline constexpr std::size_t kSizedMishaps = static_cast<std::size_t>(Mishap::gauge_drift);
inline constexpr std::array<const char*, static_cast<std::size_t>(Mishap::count)> kMishapNames{
    "nothing",
    "opening",
    "opening, passing",
    "seal off",
    "exhaust fan",
    "wrong plate, change",
    "wrong plate, start",
    "drift, step",
    "drift, slow",
    "tap in wind",
    "flap",
    "uneven wind",
    "barometer",
    "volume",
    "gauge drift",
    "water in tube",
    "kinked, during",
    "kinked, before",
    "swapped, before",
    "tube off, during",
    "tube off, before",
    "gauge stuck",
    "signal off, during",
    "signal off, before",
    "signal stuck"};

/// What the simulator is told, with its size in the event's unit.
struct StagedEvent {
  sim::Event event = sim::Event::count;  ///< count: none
  double size = 0;
};

/// Area of a sharp opening that passes a flow at 50 Pa, with the simulator's discharge of 0.6.
inline double opening_m2(double flow_m3_s) { return flow_m3_s / (0.6 * std::sqrt(2 * 50 / 1.2041)); }

/// The least size that the diagnosis shall find; where there is none, nothing.
inline StagedEvent least_event(Mishap mishap, double q50_m3_s, int sign) {
  constexpr double drift_pa = 2;
  constexpr double ramps_in_10min = 600 / 80.0;
  switch (mishap) {
    case Mishap::opening:
    case Mishap::passing_opening:
      return {sim::Event::door_open, opening_m2(0.1 * q50_m3_s)};
    case Mishap::seal_off:
      return {sim::Event::door_open, opening_m2(0.05 * q50_m3_s)};
    case Mishap::exhaust_fan:
      return {sim::Event::exhaust_fan, 0.05 * q50_m3_s};
    case Mishap::drift_step:
      return {sim::Event::building_water_in_tube, sign * drift_pa};
    case Mishap::drift_ramp:
      return {sim::Event::building_gauge_drift, sign * drift_pa * ramps_in_10min};
    default:
      return {};
  }
}

/// A size as it is met: windows ajar and doors of 0.02 to 0.2 m2, ducts of 100 to 160 mm, fans, dryers and
/// hoods of 60 to 400 m3/h, zero-flow shifts of 1 to 5 Pa (our own choice of ranges). Sizes do not depend
/// on the house.
inline StagedEvent natural_event(Mishap mishap, int sign, sim::Rng& rng) {
  constexpr double water_pa_mm = 9.81;
  constexpr double ramps_in_10min = 600 / 80.0;
  switch (mishap) {
    case Mishap::opening:
    case Mishap::passing_opening:
      return {sim::Event::door_open, rng.log_uniform(0.02, 0.2)};
    case Mishap::seal_off:
      return {sim::Event::door_open, std::numbers::pi / 4 * std::pow(rng.uniform(0.1, 0.16), 2)};
    case Mishap::exhaust_fan:
      return {sim::Event::exhaust_fan, rng.log_uniform(60, 400) / 3600};
    case Mishap::drift_step:
      return {sim::Event::building_water_in_tube, sign * rng.uniform(1, 5)};
    case Mishap::drift_ramp:
      return {sim::Event::building_gauge_drift, sign * rng.uniform(1, 5) * ramps_in_10min};
    case Mishap::gauge_drift:
      return {sim::Event::building_gauge_drift, sign * rng.uniform(1, 5)};
    case Mishap::water_in_tube:
      return {sim::Event::building_water_in_tube, sign * water_pa_mm * rng.log_uniform(0.5, 3)};
    case Mishap::kinked:
    case Mishap::kinked_early:
      return {sim::Event::building_tube_kinked, rng.log_uniform(5, 30)};
    case Mishap::tubes_swapped:
      return {sim::Event::building_tubes_swapped, 1};
    case Mishap::tube_off:
    case Mishap::tube_off_early:
      return {sim::Event::building_tube_off, 1};
    case Mishap::gauge_stuck:
      return {sim::Event::building_gauge_stuck, 1};
    case Mishap::signal_off:
    case Mishap::signal_off_early:
      return {sim::Event::signal_tube_off, 1};
    case Mishap::signal_stuck:
      return {sim::Event::signal_gauge_stuck, 1};
    default:
      return {};
  }
}

/// Whether it is there before the test begins.
inline bool from_the_start(Mishap mishap) {
  return mishap == Mishap::kinked_early || mishap == Mishap::tubes_swapped ||
         mishap == Mishap::tube_off_early || mishap == Mishap::signal_off_early;
}

/// Whether it begins with the first station.
inline bool from_the_first_station(Mishap mishap) {
  return mishap == Mishap::drift_ramp || mishap == Mishap::gauge_drift;
}

/// Whether a finding names what was staged.
inline bool names(const control::Finding& f, Mishap mishap) {
  using control::FindingKind;
  switch (mishap) {
    case Mishap::opening:
    case Mishap::passing_opening:
      return f.kind == FindingKind::opening;
    case Mishap::seal_off:
      return f.kind == FindingKind::seal_off;
    case Mishap::exhaust_fan:
      return f.kind == FindingKind::exhaust_fan;
    case Mishap::wrong_fit:
    case Mishap::wrong_start:
      return f.kind == FindingKind::wrong_restriction;
    case Mishap::drift_step:
    case Mishap::drift_ramp:
    case Mishap::gauge_drift:
    case Mishap::water_in_tube:
      return f.kind == FindingKind::zero_flow_drift;
    case Mishap::tap_in_wind:
      return f.kind == FindingKind::unshared_wind;
    case Mishap::flap:
    case Mishap::uneven_wind:
      return f.kind == FindingKind::exponent_shift;
    case Mishap::high_barometer:
      return f.kind == FindingKind::wrong_barometer;
    case Mishap::wrong_volume:
      return f.kind == FindingKind::wrong_floor_area || f.kind == FindingKind::wrong_envelope;
    case Mishap::kinked:
    case Mishap::kinked_early:
      return f.kind == FindingKind::tube_kinked;
    case Mishap::tubes_swapped:
      return f.kind == FindingKind::tubes_swapped;
    case Mishap::signal_off:
    case Mishap::signal_off_early:
    case Mishap::signal_stuck:
      return f.kind == FindingKind::signal_lost;
    default:
      return false;
  }
}

/// Whether a trip's words tell a crew to look for it.
inline bool names(control::TripCause cause, Mishap mishap) {
  using control::TripCause;
  switch (mishap) {
    case Mishap::opening:
    case Mishap::passing_opening:
    case Mishap::seal_off:
      return cause == TripCause::no_response || cause == TripCause::over_pressure ||
             cause == TripCause::pressure_rate;
    case Mishap::tubes_swapped:
      return cause == TripCause::wrong_way;
    case Mishap::water_in_tube:
      return cause == TripCause::pressure_frozen;
    case Mishap::kinked:
    case Mishap::kinked_early:
      return cause == TripCause::oscillation || cause == TripCause::pressure_frozen ||
             cause == TripCause::no_response;
    case Mishap::tube_off:
    case Mishap::tube_off_early:
      return cause == TripCause::no_response || cause == TripCause::pressure_frozen;
    case Mishap::gauge_stuck:
      return cause == TripCause::pressure_frozen;
    case Mishap::signal_off:
    case Mishap::signal_off_early:
    case Mishap::signal_stuck:
      return cause == TripCause::signal_missing;
    default:
      return false;
  }
}

}  // namespace leeward::bench
