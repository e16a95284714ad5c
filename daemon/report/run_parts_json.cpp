#include "daemon/report/run_parts_json.hpp"

#include "control/procedure/kept_run.hpp"
#include "daemon/report/json_figures.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/take_up_text.hpp"
#include "daemon/words/verdict_text.hpp"

namespace leeward::daemon {

namespace {

using nlohmann::json;

constexpr double kNanosecondsPerSecond = 1e9;

json baseline_json(control::Direction direction, const char* when, std::size_t part,
                   const control::BaselineRecord& b) {
  return {{"part", part},
          {"direction", name_of(direction)},
          {"when", when},
          {"mean_pa", number_or_null(b.mean_pa)},
          {"positive_mean_pa", number_or_null(b.positive_mean_pa)},
          {"negative_mean_pa", number_or_null(b.negative_mean_pa)},
          {"sd_pa", number_or_null(b.sd_pa)},
          {"se_pa", number_or_null(b.mean_se_pa)},
          {"duration_s", static_cast<double>(b.end_ns - b.begin_ns) / kNanosecondsPerSecond},
          {"samples", b.samples}};
}

json verdict_json(const control::CheckSpec& check, const control::Verdict& verdict,
                  const control::RunResult& result) {
  const bool judged = verdict.outcome != control::CheckOutcome::not_applicable;
  const auto direction = static_cast<std::size_t>(verdict.direction);
  const bool of_direction = verdict.direction >= 0 && direction < result.directions.size();
  json out = {{"check", name_of(check.kind)},
              {"title", check_title(check.kind)},
              {"label", check_label(check.kind)},
              {"clause", check.clause.view()},
              {"mark", name_of(check.mark)},
              {"mark_text", mark_text(check)},
              {"severity", name_of(check.severity)},
              {"outcome", name_of(verdict.outcome)},
              {"seen", number_if(judged, verdict.seen)},
              {"limit", number_if(judged, verdict.limit)},
              {"unit", check_unit(check.kind)},
              {"seen_text", seen_text(check, verdict)},
              {"limit_text", limit_text(check, verdict)},
              {"text", verdict_text(check, verdict)}};
  out["direction"] = of_direction ? json(name_of(result.directions[direction].direction)) : json(nullptr);
  return out;
}

}  // namespace

json building_json(const control::BuildingSpec& b) {
  json targets = json::array();
  for (const control::Name& id : b.targets) targets.push_back(id.view());
  return {{"name", b.name.view()},
          {"volume_m3", number_if(b.volume_m3 > 0, b.volume_m3)},
          {"envelope_area_m2", number_if(b.envelope_area_m2 > 0, b.envelope_area_m2)},
          {"floor_area_m2", number_if(b.floor_area_m2 > 0, b.floor_area_m2)},
          {"height_m", number_if(b.height_m > 0, b.height_m)},
          {"loss_area_m2", number_if(b.loss_area_m2 > 0, b.loss_area_m2)},
          {"targets", targets},
          {"volume_relative_u", number_or_null(b.volume_relative_u)}};
}

json conditions_json(const control::ConditionsSpec& c) {
  const bool takes_altitude = !c.has_barometric;
  json assumed = json::object();
  if (!c.has_indoor_rh) assumed["indoor_rh_frac"] = number_or_null(c.indoor_rh_frac);
  if (!c.has_outdoor_rh) assumed["outdoor_rh_frac"] = number_or_null(c.outdoor_rh_frac);
  if (takes_altitude && !c.has_altitude) assumed["altitude_m"] = number_or_null(c.altitude_m);
  return {{"indoor_c", number_or_null(c.indoor_c)},
          {"outdoor_c", number_or_null(c.outdoor_c)},
          {"indoor_rh_frac", number_if(c.has_indoor_rh, c.indoor_rh_frac)},
          {"outdoor_rh_frac", number_if(c.has_outdoor_rh, c.outdoor_rh_frac)},
          {"barometric_pa", number_if(c.has_barometric, c.barometric_pa)},
          {"altitude_m", number_if(takes_altitude && c.has_altitude, c.altitude_m)},
          {"wind_m_s", number_if(c.has_wind, c.wind_m_s)},
          {"assumed", assumed}};
}

json baselines_json(const control::RunRecord& record) {
  json list = json::array();
  for (const control::DirectionRecord& d : record.directions) {
    for (std::size_t i = 0; i < d.kept.size(); ++i)
      list.push_back(baseline_json(d.direction, "before", i + 1, d.kept[i].before));
    if (d.before.taken) list.push_back(baseline_json(d.direction, "before", 0, d.before));
    if (d.after.taken) list.push_back(baseline_json(d.direction, "after", 0, d.after));
  }
  return list;
}

json continuation_json(const control::RunRecord& record) {
  if (record.continues.run_id.empty()) return nullptr;
  const bool has_hash = !record.continues.sha256.empty();
  return {{"run_id", record.continues.run_id.view()},
          {"sha256", has_hash ? json(record.continues.sha256.view()) : json(nullptr)},
          {"age_s", number_or_null(record.continues.age_s)},
          {"stations_kept", control::kept_stations(record)},
          {"text", continuation_text(record)}};
}

json verdicts_json(const control::RunRecord& record, const control::RunResult& result) {
  json list = json::array();
  for (const control::Verdict& verdict : result.verdicts) {
    const auto check = static_cast<std::size_t>(verdict.check);
    if (verdict.check < 0 || check >= record.procedure.checks.size()) continue;
    list.push_back(verdict_json(record.procedure.checks[check], verdict, result));
  }
  return list;
}

}  // namespace leeward::daemon
