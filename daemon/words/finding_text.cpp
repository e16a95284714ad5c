#include "daemon/words/finding_text.hpp"

#include <cmath>

#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::Finding;
using control::FindingKind;
using control::RunRecord;

/// "12 % +- 1 %"
std::string with_u(const std::string& value, double u, const std::string& u_text) {
  return u > 0 ? value + " +- " + u_text : value;
}

std::string share_text(double frac, double u) {
  const int decimals = u < 0.01 ? 1 : 0;
  return with_u(fixed_text(frac * 100, decimals) + " %", u, fixed_text(u * 100, decimals) + " %");
}

std::string amount_text(double m3_s, double u) { return with_u(flow_text(m3_s), u, flow_text(u)); }

std::string drift_text(double pa, double u) {
  return with_u(fixed_text(pa, 1) + " Pa", u, fixed_text(u, 1) + " Pa");
}

const control::DirectionRecord* direction_of(const Finding& f, const RunRecord& record) {
  const auto i = static_cast<std::size_t>(f.direction);
  return f.direction >= 0 && i < record.directions.size() ? &record.directions[i] : nullptr;
}

/// "In depressurization, from the station of 35 Pa on, "
std::string when_text(const Finding& f, const RunRecord& record) {
  const control::DirectionRecord* d = direction_of(f, record);
  if (d == nullptr) return {};
  std::string out =
      d->direction == control::Direction::depressurize ? "In depressurization, " : "In pressurization, ";
  const auto station = static_cast<std::size_t>(f.station);
  if (f.station < 0 || station >= d->stations.size()) return out;
  out += (f.passing ? "at the station of " : "from the station of ") +
         target_text(d->stations[station].target_pa);
  const double length_s = static_cast<double>(f.to_ns - f.from_ns) * 1e-9;
  return out + (f.passing ? ", for about " + seconds_text(length_s) + ", " : " on, ");
}

std::string restriction_text(double index, const RunRecord& record) {
  const auto i = static_cast<std::size_t>(index);
  return index >= 0 && i < record.fan.restrictions.size()
             ? std::string(record.fan.restrictions[i].name.view())
             : std::string("another one");
}

std::string wrong_restriction_text(const Finding& f, const RunRecord& record) {
  const control::DirectionRecord* d = direction_of(f, record);
  const auto station = static_cast<std::size_t>(f.station);
  const double named = d != nullptr && station < d->stations.size() ? d->stations[station].restriction : -1;
  if (named == f.other)
    return when_text(f, record) + "the flow does not go on where it was left, by a factor of " +
           figure_text(f.size, "") + ".";
  return when_text(f, record) + "the flow fits " + restriction_text(f.other, record) + ", not " +
         restriction_text(named, record) + " as named: the true flow is " + figure_text(f.size, "") +
         " times the one that was read.";
}

std::string fan_text(const Finding& f, const RunRecord& record) {
  return when_text(f, record) + "something else moved " + amount_text(std::abs(f.size), f.size_u) +
         " of air " + (f.size > 0 ? "out of" : "into") + " the building, the same at every pressure.";
}

std::string opening_text(const Finding& f, const RunRecord& record) {
  return when_text(f, record) + "the building let through " + share_text(std::abs(f.size), f.size_u) +
         (f.size > 0 ? " more" : " less") + " air at equal pressure.";
}

std::string barometer_text(const Finding& f) {
  return "The stated barometric pressure belongs " + fixed_text(std::abs(f.size), 0) + " m " +
         (f.size < 0 ? "below" : "above") + " the stated altitude.";
}

std::string unshared_wind_text(const Finding& f) {
  return "While the fan kept its speed the pressure reading moved by " + figure_text(f.size, "Pa") +
         " of which its flow felt nothing, and by " + figure_text(f.other, "Pa") + " of which it did.";
}

std::string shift_text(const Finding& f) {
  return "The exponents of the two directions differ by " +
         with_u(fixed_text(f.size, 3), f.size_u, fixed_text(f.size_u, 3)) + ".";
}

}  // namespace

std::string finding_title(const Finding& f) {
  switch (f.kind) {
    case FindingKind::opening:
      return f.size < 0 ? "An opening was shut" : "An opening";
    case FindingKind::seal_off:
      return "A seal came off";
    case FindingKind::exhaust_fan:
      return "Another fan";
    case FindingKind::wrong_restriction:
      return "Another restriction than named";
    case FindingKind::zero_flow_drift:
      return "The zero-flow pressure drifted";
    case FindingKind::unshared_wind:
      return "Wind at the outdoor tube or at the fan";
    case FindingKind::exponent_shift:
      return "Unequal exponents";
    case FindingKind::tubes_swapped:
      return "Tubes swapped";
    case FindingKind::wrong_floor_area:
      return "Volume and floor area disagree";
    case FindingKind::wrong_envelope:
      return "Volume and envelope disagree";
    case FindingKind::wrong_barometer:
      return "Barometer and altitude disagree";
    case FindingKind::signal_lost:
      return "Flow signal lost";
    case FindingKind::signal_drift:
      return "The flow gauge drifted";
    case FindingKind::tube_kinked:
      return "A kinked tube";
  }
  return "Unknown";
}

std::string finding_text(const Finding& f, const RunRecord& record) {
  switch (f.kind) {
    case FindingKind::opening:
    case FindingKind::seal_off:
      return opening_text(f, record);
    case FindingKind::exhaust_fan:
      return fan_text(f, record);
    case FindingKind::wrong_restriction:
      return wrong_restriction_text(f, record);
    case FindingKind::zero_flow_drift:
      return when_text(f, record) + "the zero-flow pressure moved by " + drift_text(f.size, f.size_u) +
             ", more than the gusts explain.";
    case FindingKind::unshared_wind:
      return unshared_wind_text(f);
    case FindingKind::exponent_shift:
      return shift_text(f);
    case FindingKind::tubes_swapped:
      return when_text(f, record) + "the pressure went the other way, by " + pressure_text(std::abs(f.size)) +
             " on average.";
    case FindingKind::wrong_floor_area:
      return "The volume is " + figure_text(f.size, "m") +
             " times the floor area; storeys are 2.2 to 4 m high.";
    case FindingKind::wrong_envelope:
      return "The envelope is " + figure_text(f.size, "m2") +
             " for each m3 of volume; usual are 0.3 to 1.5 m2.";
    case FindingKind::wrong_barometer:
      return barometer_text(f);
    case FindingKind::signal_lost:
      return when_text(f, record) + "the fan ran without a flow signal at " + fixed_text(f.size, 0) +
             (f.size > 1 ? " stations." : " station.");
    case FindingKind::signal_drift:
      return when_text(f, record) + "the fan-side zero moved by " + drift_text(f.size, f.size_u) +
             ", worth " + percent_text(f.other) + " of the smallest flow.";
    case FindingKind::tube_kinked:
      return when_text(f, record) + "the building pressure lagged " + seconds_text(f.size) +
             " behind the flow, beyond what the building itself does.";
  }
  return {};
}

std::string finding_advice(const Finding& f) {
  switch (f.kind) {
    case FindingKind::opening:
      return "Look for a door, window, hatch or seal that moved; then take the stations from there on again.";
    case FindingKind::seal_off:
      return "Look at the temporary seals; put back what came off and take the stations from there on again.";
    case FindingKind::exhaust_fan:
      return "Switch off exhaust fans, cooker hood, dryer and ventilation, and take the test again.";
    case FindingKind::wrong_restriction:
      return "Look which restriction was fitted. If it was the other one, the run can be computed anew with "
             "it.";
    case FindingKind::zero_flow_drift:
      return "The wind or the gauge changed. Take longer zero-flow readings, and the test again in calmer "
             "air.";
    case FindingKind::unshared_wind:
      return "Lead the outdoor tube away from walls and out of the wind, or end it in a pierced box; if that "
             "changes "
             "nothing, the fan's opening is in the wind.";
    case FindingKind::exponent_shift:
      return "Wind on uneven leaks or a flap does this. Look for flaps; rely on the mean of both directions.";
    case FindingKind::tubes_swapped:
      return "Change over the indoor and the outdoor tube of the building gauge, or turn the sign of its "
             "readings.";
    case FindingKind::wrong_floor_area:
      return "Check volume and floor area and their units.";
    case FindingKind::wrong_envelope:
      return "Check volume and envelope area and their units.";
    case FindingKind::wrong_barometer:
      return "State the pressure at the site; a weather report's figure is reduced to sea level.";
    case FindingKind::signal_lost:
      return "Check the tube and the gauge at the fan; these stations count for nothing.";
    case FindingKind::signal_drift:
      return "Let the gauge warm up and set its zero; water in the tube does the same.";
    case FindingKind::tube_kinked:
      return "Look for a kink, a pinch or water in the tubes of the building gauge, and take the test again.";
  }
  return {};
}

std::string sureness_text(const Finding& f) {
  const std::string grade(name_of(f.grade));
  return f.grade == control::FindingGrade::certain ? grade : grade + " (" + percent_text(f.sureness) + ")";
}

}  // namespace leeward::daemon
