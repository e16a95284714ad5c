#include "sim/campaign/fault_rules.hpp"

#include <algorithm>
#include <cmath>

namespace leeward::sim {
namespace {

using control::Quality;
using control::Reading;
using control::TripCause;

constexpr double kResponseLeast = 10.0;  // Pa that are really there ...
constexpr double kResponseShare = 0.3;   // ... and of which so little is read
constexpr double kWrongWayLeast = 10.0;  // Pa
constexpr double kStandSure = 0.2;       // speed that every drive would have reached
constexpr double kStandSpeed = 0.05;
// Until the slowest drive has followed, a wheel that is not there yet looks the same.
constexpr double kFollowed = 0.8;

bool readable(const Reading& r, const Reading& before) {
  return r.quality == Quality::good && std::isfinite(r.value) && r.stamp_ns > before.stamp_ns;
}

bool no_pressure(const FaultSight& s) {
  return !readable(s.sample.building_pressure_pa, s.before.building_pressure_pa);
}
bool no_signal(const FaultSight& s) {
  return !readable(s.sample.fans[0].signal_pa, s.before.fans[0].signal_pa);
}
bool same_pressure(const FaultSight& s) {
  return s.sample.building_pressure_pa.value == s.before.building_pressure_pa.value;
}
bool out_of_range(const FaultSight& s) { return std::abs(s.sample.building_pressure_pa.value) > s.range_pa; }
bool above_ceiling(const FaultSight& s) {
  const Reading& r = s.sample.building_pressure_pa;
  return readable(r, s.before.building_pressure_pa) && std::abs(r.value) > s.ceiling_pa &&
         std::abs(r.value) <= s.range_pa;
}
bool not_felt(const FaultSight& s) {
  return s.true_induced_pa >= std::max(kResponseLeast, 4 * s.zero_flow_sd_pa) &&
         s.read_induced_pa < kResponseShare * s.true_induced_pa && s.surely_frac >= kFollowed * s.speed_frac;
}
bool wrong_way(const FaultSight& s) {
  return s.read_induced_pa <= -std::max(kWrongWayLeast, 5 * s.zero_flow_sd_pa);
}
bool stands(const FaultSight& s) { return s.surely_frac >= kStandSure && s.speed_frac < kStandSpeed; }
bool bad_answer(const FaultSight& s) { return s.sample.device == control::DeviceStatus::bad_answer; }
bool late(const FaultSight& s) { return s.sample.late_ticks > 0; }
bool no_time(const FaultSight& s) { return s.sample.stamp_ns <= s.before.stamp_ns; }
bool at_once(const FaultSight&) { return true; }

constexpr FaultRule kOverPressure{above_ceiling, 1.0, {TripCause::over_pressure}};
constexpr FaultRule kNoStop{};

constexpr FaultRule kMissing{no_pressure, 0.3, {TripCause::pressure_missing, TripCause::drive_refuses}};

constexpr FaultRule kStuck{same_pressure, 2.0, {TripCause::pressure_frozen}};
constexpr FaultRule kOutOfRange{out_of_range, 0.2, {TripCause::pressure_out_of_range}};
constexpr FaultRule kNotFelt{not_felt, 3.0, {TripCause::no_response, TripCause::pressure_frozen}};
constexpr FaultRule kWrongWay{wrong_way, 0, {TripCause::wrong_way}};
constexpr FaultRule kNoSignal{no_signal, 1.0, {TripCause::signal_missing}};
constexpr FaultRule kStands{stands, 3.0, {TripCause::no_response}};
constexpr FaultRule kRefuses{bad_answer, 0.3, {TripCause::drive_refuses, TripCause::pressure_missing}};
constexpr FaultRule kLate{late, 1.0, {TripCause::missed_ticks}};
constexpr FaultRule kGap{late, 1.05, {TripCause::time_gap}};
constexpr FaultRule kNoTime{no_time, 0.5, {TripCause::missed_ticks, TripCause::pressure_missing}};
constexpr FaultRule kStop{at_once, 0, {}};
/// It shows when the fan is told to stop, and nothing that is told stops it.
constexpr FaultRule kIgnoresStop{nullptr, 0, {TripCause::fan_ignores_stop}};
constexpr FaultRule kSlammed{nullptr, 0, {TripCause::over_pressure, TripCause::pressure_rate}};
constexpr FaultRule kSwings{nullptr, 0, {TripCause::oscillation, TripCause::over_pressure}};

}  // namespace

const FaultRule& fault_rule(FaultKind kind) {
  switch (kind) {
    case FaultKind::pressure_silent:
    case FaultKind::pressure_not_a_number:
    case FaultKind::bus_lost:
    case FaultKind::bus_back:
    case FaultKind::bus_late_answer:
      return kMissing;
    case FaultKind::pressure_stuck:
      return kStuck;
    case FaultKind::pressure_out_of_range:
      return kOutOfRange;
    case FaultKind::pressure_tube_off:
      return kNotFelt;
    case FaultKind::pressure_tubes_swapped:
    case FaultKind::fan_turned_round:
      return kWrongWay;
    case FaultKind::signal_silent:
    case FaultKind::signal_not_a_number:
      return kNoSignal;
    case FaultKind::fan_stands:
      return kStands;
    case FaultKind::drive_refuses:
    case FaultKind::bus_bad_answer:
      return kRefuses;
    case FaultKind::ticks_missed:
      return kLate;
    case FaultKind::process_suspended:
      return kGap;
    case FaultKind::time_stands:
      return kNoTime;
    case FaultKind::operator_stops:
      return kStop;
    case FaultKind::fan_ignores_stop:
      return kIgnoresStop;
    case FaultKind::opening_shut:
      return kSlammed;
    case FaultKind::fan_too_strong:
    case FaultKind::fan_lags:
      return kSwings;
    default:
      return kNoStop;
  }
}

const FaultRule& over_pressure_rule() { return kOverPressure; }

bool is_named(FaultKind kind, control::TripCause cause) {
  const auto& named = fault_rule(kind).named;
  return cause != TripCause::none && std::find(named.begin(), named.end(), cause) != named.end();
}

}  // namespace leeward::sim
