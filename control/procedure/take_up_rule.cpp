#include "control/procedure/take_up_rule.hpp"

#include <algorithm>

#include "control/procedure/kept_run.hpp"
#include "control/seconds_between.hpp"

namespace leeward::control {
namespace {

const char* other_calibration(const RestrictionSpec& was, const RestrictionSpec& is) {
  if (!(was.name == is.name)) return "restriction.name";
  if (was.k_m3_s_pam != is.k_m3_s_pam) return "restriction.k_m3_s_pam";
  if (was.m != is.m) return "restriction.m";
  if (was.signal_min_pa != is.signal_min_pa) return "restriction.signal_min_pa";
  if (was.signal_max_pa != is.signal_max_pa) return "restriction.signal_max_pa";
  if (was.k_relative_u != is.k_relative_u) return "restriction.k_relative_u";
  return nullptr;
}

/// The setting of a fan that is another one; nullptr: the flows that it reads compare.
const char* other_setting(const FanSpec& was, const FanSpec& is) {
  if (!(was.name == is.name)) return "fan.name";
  if (was.density_kg_m3 != is.density_kg_m3) return "fan.density_kg_m3";
  if (was.restrictions.size() != is.restrictions.size()) return "fan.restriction";
  for (std::size_t i = 0; i < was.restrictions.size(); ++i)
    if (const char* what = other_calibration(was.restrictions[i], is.restrictions[i])) return what;
  return nullptr;
}

TakeUpVerdict judge_rig(const EngineConfig& was, const EngineConfig& is) {
  if (!(was.rig_name == is.rig_name)) return {TakeUpRefusal::rig_changed, "rig.name"};
  if (was.fans.size() != is.fans.size()) return {TakeUpRefusal::rig_changed, "fan"};
  for (std::size_t i = 0; i < was.fans.size(); ++i)
    if (const char* what = other_setting(was.fans[i], is.fans[i])) return {TakeUpRefusal::fan_changed, what};
  if (was.building_gauge_accuracy_frac != is.building_gauge_accuracy_frac)
    return {TakeUpRefusal::gauge_changed, "device.building_gauge_accuracy_frac"};
  return {};
}

TakeUpRefusal refusal_of_state(const BrokenOffRun& broken) {
  if (!broken.is_run) return TakeUpRefusal::not_a_run;
  switch (broken.state) {
    case RunState::interrupted:
    case RunState::tripped:
    case RunState::stopped:
      return TakeUpRefusal::none;
    case RunState::running:
      return TakeUpRefusal::running;
    default:
      return TakeUpRefusal::finished;
  }
}

TakeUpRefusal refusal_of_kept(const BrokenOffRun& broken, const KeptRun& kept) {
  if (kept.directions.empty()) return TakeUpRefusal::nothing_kept;
  const DirectionRecord& last = kept.directions.back();
  const DirectionLeft left = left_of(broken.run.procedure, last, true);
  const bool is_last = kept.directions.size() == directions_of(broken.run.direction).size();
  if (is_last && left == DirectionLeft::nothing) return TakeUpRefusal::nothing_missing;
  const bool adds_part = std::any_of(last.stations.begin(), last.stations.end(),
                                     [](const StationRecord& station) { return station.part == 0; });
  if (left == DirectionLeft::stations && last.kept.full() && adds_part) return TakeUpRefusal::too_many_parts;
  return TakeUpRefusal::none;
}

double oldest_age_s(const KeptRun& kept, double age_s) {
  double oldest_s = age_s;
  for (const DirectionRecord& direction : kept.directions)
    for (const StationRecord& station : direction.stations)
      oldest_s = std::max(oldest_s, age_s + seconds_between(station.begin_ns, kept.end_ns));
  return oldest_s;
}

}  // namespace

KeptRun kept_of(const BrokenOffRun& broken) noexcept {
  KeptRun kept;
  kept.end_ns = broken.end_ns;
  kept.conditions = broken.record.conditions;
  for (const DirectionRecord& direction : broken.record.directions)
    if (!direction.stations.empty()) kept.directions.push_back(direction);
  return kept;
}

TakeUpVerdict may_take_up(const BrokenOffRun& broken, const EngineConfig& rig, double age_s,
                          double most_age_s) noexcept {
  if (const auto refusal = refusal_of_state(broken); refusal != TakeUpRefusal::none) return {refusal, {}};
  const KeptRun kept = kept_of(broken);
  if (const auto refusal = refusal_of_kept(broken, kept); refusal != TakeUpRefusal::none)
    return {refusal, {}};
  if (const TakeUpVerdict verdict = judge_rig(broken.rig, rig); verdict.refusal != TakeUpRefusal::none)
    return verdict;
  if (age_s < 0) return {TakeUpRefusal::clock_behind, {}};
  const double oldest_s = oldest_age_s(kept, age_s);
  return {oldest_s > most_age_s ? TakeUpRefusal::too_old : TakeUpRefusal::none, {}, oldest_s};
}

}  // namespace leeward::control
