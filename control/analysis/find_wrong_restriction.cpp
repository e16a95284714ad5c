#include <algorithm>
#include <cmath>

#include "control/analysis/density_correction.hpp"
#include "control/analysis/diagnosis_parts.hpp"
#include "control/analysis/joint_model.hpp"
#include "control/physics/fan_curve.hpp"
#include "control/physics/flow_element.hpp"
#include "control/signs.hpp"

namespace leeward::control {
namespace {

constexpr double kJumpExponent = 0.65;
constexpr double kLeastJump = 0.5;          // ln of a flow ratio; calibrations differ by a factor of about 3
constexpr double kLeastUnnamedJump = 0.75;  // where the record knows of no change
constexpr double kJumpU = 0.12;             // ln, of a jump over one or two stations
constexpr double kLeastJumpZ = 5;
constexpr double kLeftOver = 0.35;     // of a jump, that another restriction may leave
constexpr double kOverlap = 0.05;      // ln, by which one station taken with two restrictions may differ
constexpr double kOverlapApart = 0.1;  // of the pressure
constexpr double kNextToChange = 3;    // on either side of a change
constexpr double kIdleDemand = 0.02;   // at which the wheel begins to turn
constexpr double kUnitU = 0.035;       // ln, of a unit's demand for a flow from its file's
constexpr double kSameUnitU = 0.02;    // ln, of the same unit's at other flows and pressures
constexpr double kFarOff = 10;         // ln: no restriction explains the jump
constexpr double kLeastUnitZ = 3.4;
constexpr double kBetterZ = 2;  // another restriction must explain the demand so much better

struct StationGroup {  ///< stations one after the other with what seems to be the same restriction
  int restriction = 0;
  std::size_t begin = 0;
  std::size_t end = 0;
};
using StationGroups = FixedVector<StationGroup, kMaxStations>;

double induced_along(const DirectionRecord& d, const StationRecord& s) {
  return along(d.direction, s.pressure_mean_pa) - plain_zero_pa(d);
}

/// ln of the flow at 1 Pa; not finite where nothing is induced.
double flow_level_of(const DirectionRecord& d, const StationRecord& s) {
  return std::log(s.flow_mean_m3_s) - kJumpExponent * std::log(induced_along(d, s));
}

/// Standard uncertainty of a level's ln from gusts and the usual exponent's doubt.
double level_u(const DirectionRecord& d, const StationRecord& s) {
  return std::hypot(kJumpU, kJumpExponent * d.before.sd_pa / std::max(1.0, induced_along(d, s)));
}

/// Split where the name changes, and where the flow jumps though it does not: a crew may change what the
/// record does not know of.
StationGroups groups_of(const DirectionRecord& d) {
  StationGroups out;
  double level = 0;
  for (std::size_t i = 0; i < d.stations.size(); ++i) {
    if (!d.stations[i].usable()) continue;
    const int r = d.stations[i].restriction;
    const double here = flow_level_of(d, d.stations[i]);
    const bool jumps = std::abs(here - level) > kLeastUnnamedJump + 2 * level_u(d, d.stations[i]);
    if (out.empty() || out.back().restriction != r || jumps) out.push_back({r, i, i});
    out.back().end = i + 1;
    level = here;
  }
  return out;
}

/// Mean ln of the flow at 1 Pa of the stations of a group that lie next to a change.
bool flow_level(const DirectionRecord& d, const StationGroup& g, bool last, double& out) {
  double sum = 0;
  double count = 0;
  for (std::size_t k = 0; k < g.end - g.begin && count < kNextToChange; ++k) {
    const StationRecord& s = d.stations[last ? g.end - 1 - k : g.begin + k];
    if (!s.usable() || !(induced_along(d, s) > 0)) continue;
    sum += flow_level_of(d, s);
    ++count;
  }
  out = count > 0 ? sum / count : 0;
  return count > 0;
}

/// The restriction that would take a jump away, and what is left of it then.
int explaining(const FanSpec& fan, const StationRecord& s, double jump, double& left) {
  const RestrictionSpec& named = fan.restrictions[static_cast<std::size_t>(s.restriction)];
  const double flow = flow_m3_s(named, s.signal_mean_pa);
  int best = s.restriction;
  left = std::abs(jump);
  for (std::size_t k = 0; k < fan.restrictions.size(); ++k) {
    const double ratio = std::log(flow_m3_s(fan.restrictions[k], s.signal_mean_pa) / flow);
    if (!(std::abs(jump + ratio) < left)) continue;
    left = std::abs(jump + ratio);
    best = static_cast<int>(k);
  }
  return best;
}

bool is_known(const FanSpec& fan, const StationRecord& s) {
  return s.restriction >= 0 && static_cast<std::size_t>(s.restriction) < fan.restrictions.size() &&
         s.signal_mean_pa > 0;
}

/// Mean ln of the demand that was applied over the one that the curve asks for.
struct DemandOff {
  double ln = 0;
  double u = 0;      ///< of the unit, and of the pressure that gusts put against the fan
  double gusts = 0;  ///< of the latter alone
};

/// @returns false where the curve tells nothing of that restriction
bool demand_off(const RunRecord& record, const FanCurve& curve, const DirectionRecord& d,
                double density_ratio, const StationGroup& g, int restriction, DemandOff& off) {
  double sum = 0;
  double gusts = 0;
  double count = 0;
  const RestrictionSpec& r = record.fan.restrictions[static_cast<std::size_t>(restriction)];
  for (std::size_t i = g.begin; i < g.end; ++i) {
    const StationRecord& s = d.stations[i];
    if (!s.usable() || !(s.demand_mean_frac > 2 * kIdleDemand)) continue;
    // The signal stands for the flow of calibration air; thinner air flows faster and is lifted less.
    const double flow = flow_m3_s(r, s.signal_mean_pa) / std::sqrt(density_ratio);
    const double rise =
        std::max(1.0, along(d.direction, s.pressure_mean_pa) + r.loss_frac * s.signal_mean_pa) /
        density_ratio;
    constexpr double beyond_full = 6;
    const auto speed = demand_for(curve, flow, rise, beyond_full);
    if (!speed || !(*speed > 0)) return false;
    sum += std::log((s.demand_mean_frac - kIdleDemand) / *speed);
    gusts += 0.5 * d.before.sd_pa / (rise * density_ratio);  // the rise goes with the square of the speed
    ++count;
  }
  if (count > 0) off = {sum / count, std::hypot(kUnitU, gusts / count), gusts / count};
  return count > 0;
}

/// Of the air through the fan over that of its calibration. A barometer in doubt gives way to the altitude.
double density_ratio(const RunRecord& record, Direction direction, const Findings& found) {
  ConditionsSpec conditions = record.conditions;
  if (has_finding(found, FindingKind::wrong_barometer, -1)) conditions.has_barometric = false;
  return air_through_fan(direction, site_air(conditions)).density.si() / record.calibration_density_kg_m3;
}

/// Whether the fan worked as a true jump of the flow makes it work, judged against how it worked before: the
/// unit's own error is in both. Where it can't be told, hands at the fan decide.
bool flow_is_true(const RunRecord& record, const FanCurve* curve, const DirectionRecord& d, double density,
                  const StationGroup& before, const StationGroup& after, int other) {
  const bool unnamed = before.restriction == after.restriction;
  if (curve == nullptr) return unnamed;
  DemandOff was;
  DemandOff named;
  DemandOff explained;
  if (!demand_off(record, *curve, d, density, before, before.restriction, was) ||
      !demand_off(record, *curve, d, density, after, after.restriction, named))
    return unnamed;
  const double off = std::abs(named.ln - was.ln);
  const double u = std::hypot(kSameUnitU, named.gusts, was.gusts);
  const bool has_other =
      other != after.restriction && demand_off(record, *curve, d, density, after, other, explained);
  const double other_off = has_other ? std::abs(explained.ln - was.ln) : kFarOff;
  if (off + kBetterZ * u < other_off) return true;
  return unnamed && other_off + kBetterZ * u > off;
}

void find_jumps(const RunRecord& record, const FanCurve* curve, int index, Findings& out) {
  const DirectionRecord& d = record.directions[static_cast<std::size_t>(index)];
  const double density = density_ratio(record, d.direction, out);
  const StationGroups groups = groups_of(d);
  for (std::size_t g = 1; g < groups.size(); ++g) {
    double before = 0;
    double after = 0;
    if (!flow_level(d, groups[g - 1], true, before) || !flow_level(d, groups[g], false, after)) continue;
    const StationRecord& first = d.stations[groups[g].begin];
    if (!is_known(record.fan, first)) continue;
    const double jump = after - before;
    const StationRecord& last = d.stations[groups[g - 1].end - 1];
    const bool overlap = last.restriction != first.restriction &&
                         std::abs(last.target_pa - first.target_pa) < kOverlapApart * first.target_pa;
    double left = 0;
    const int other = explaining(record.fan, first, jump, left);
    const double u = level_u(d, first);
    const bool wrong = std::abs(jump) > std::max(kLeastJump, kLeastJumpZ * u) && other != first.restriction &&
                       left < kLeftOver * std::abs(jump);
    if (!wrong && !(overlap && std::abs(jump) > kOverlap + kJumpU)) continue;
    if (flow_is_true(record, curve, d, density, groups[g - 1], groups[g], other)) continue;
    const double sureness = wrong ? sureness_of(jump / u) : 0.9;
    out.push_back({.kind = FindingKind::wrong_restriction,
                   .grade = grade_of(sureness),
                   .sureness = sureness,
                   .direction = index,
                   .station = static_cast<int>(groups[g].begin),
                   .from_ns = first.begin_ns,
                   .size = std::exp(-jump),
                   .size_u = u * std::exp(-jump),
                   .other = static_cast<double>(other)});
    return;
  }
}

/// Wrong from the start: where the flow is large enough, the fan could not have moved it at that demand.
void find_by_curve(const RunRecord& record, const FanCurve& curve, int index, Findings& out) {
  const DirectionRecord& d = record.directions[static_cast<std::size_t>(index)];
  const double density = density_ratio(record, d.direction, out);
  for (const StationGroup& g : groups_of(d)) {
    if (!is_known(record.fan, d.stations[g.begin])) continue;
    DemandOff named;
    if (!demand_off(record, curve, d, density, g, g.restriction, named)) continue;
    if (std::abs(named.ln) < kLeastUnitZ * named.u) continue;
    int best = g.restriction;
    double least = std::abs(named.ln);
    for (int k = 0; k < static_cast<int>(record.fan.restrictions.size()); ++k) {
      DemandOff off;
      if (!demand_off(record, curve, d, density, g, k, off) || std::abs(off.ln) >= least) continue;
      least = std::abs(off.ln);
      best = k;
    }
    if (best == g.restriction || std::abs(named.ln) - least < kBetterZ * named.u) continue;
    const double signal = d.stations[g.begin].signal_mean_pa;
    const auto flow = [&](int k) {
      return flow_m3_s(record.fan.restrictions[static_cast<std::size_t>(k)], signal);
    };
    const double sureness = sureness_of(named.ln / named.u);
    out.push_back({.kind = FindingKind::wrong_restriction,
                   .grade = grade_of(sureness),
                   .sureness = sureness,
                   .direction = index,
                   .station = static_cast<int>(g.begin),
                   .from_ns = d.stations[g.begin].begin_ns,
                   .size = flow(best) / flow(g.restriction),
                   .other = static_cast<double>(best)});
    return;
  }
}

}  // namespace

void find_wrong_restriction(const RunRecord& record, Findings& out) noexcept {
  const auto curve = FanCurve::make(record.fan.curve);
  for (std::size_t i = 0; i < record.directions.size(); ++i) {
    const int index = static_cast<int>(i);
    if (has_change(out, index) || has_finding(out, FindingKind::tube_kinked, index)) continue;
    find_jumps(record, curve ? &*curve : nullptr, index, out);
    if (curve && !has_finding(out, FindingKind::wrong_restriction, index))
      find_by_curve(record, *curve, index, out);
  }
}

}  // namespace leeward::control
