#include "daemon/report/result_json.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <ctime>

#include "daemon/report/assumed_exponent.hpp"
#include "daemon/report/cautions.hpp"
#include "daemon/report/diagnosis_json.hpp"
#include "daemon/report/direction_json.hpp"
#include "daemon/report/json_figures.hpp"
#include "daemon/report/run_parts_json.hpp"
#include "daemon/words/fit_text.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::DirectionResult;
using control::RunRecord;
using control::RunResult;
using nlohmann::json;

std::string utc_text(std::int64_t unix_ms) {
  const auto seconds = static_cast<std::time_t>(unix_ms / 1000);
  std::tm utc{};
  gmtime_r(&seconds, &utc);
  std::array<char, 40> text{};
  const std::size_t size = std::strftime(text.data(), text.size(), "%Y-%m-%dT%H:%M:%SZ", &utc);
  return {text.data(), size};
}

/// As an exact size divides it; not known where the size is not.
control::Interval per_size(control::Interval flow, double size) {
  if (!(size > 0)) flow.known = false;
  return flow;
}

/// Air changes and permeabilities at the reference pressure and, where that is another, at 50 Pa.
void put_specific_flows(json& out, const RunRecord& record, const RunResult& result) {
  const std::string at = key_pressure(record.procedure.reference_pressure_pa);
  put_interval(out, "n" + at + "_per_h", result.n50_per_h, 1);
  put_interval(out, "qe" + at + "_m3_h_m2", result.qe_m3_h_m2, 1);
  put_interval(out, "qf" + at + "_m3_h_m2", result.qf_m3_h_m2, 1);
  if (record.procedure.reference_pressure_pa == kHeadlinePa) return;
  put_interval(out, "n50_per_h", result.at_50_pa.n_per_h, 1);
  put_interval(out, "qe50_m3_h_m2", result.at_50_pa.qe_m3_h_m2, 1);
  put_interval(out, "qf50_m3_h_m2", result.at_50_pa.qf_m3_h_m2, 1);
}

/// What codes limit beside the flow at 50 Pa.
void put_code_figures(json& out, const RunRecord& record, const RunResult& result) {
  const double envelope = record.building.envelope_area_m2;
  put_interval(out, "qe4_m3_h_m2", per_size(result.flows.q4_m3_s, envelope), kHourlyPerSecond / envelope);
  put_interval(out, "qe75_m3_h_m2", per_size(result.flows.q75_m3_s, envelope), kHourlyPerSecond / envelope);
  put_interval(out, "q4_loss_m3_h_m2", result.q4_loss_m3_h_m2, 1);
  put_interval(out, "ela4_cm2", result.ela4_m2, kCm2PerM2);
  put_interval(out, "ela10_cm2", result.ela10_m2, kCm2PerM2);
  put_interval(out, "eqla10_cm2", result.eqla10_m2, kCm2PerM2);
  put_interval(out, "specific_leakage_cm2_m2", result.specific_leakage_cm2_m2, 1);
  put_interval(out, "nl_03", result.normalized_leakage_03, 1);
  put_interval(out, "nl_04", result.normalized_leakage_04, 1);
  put_interval(out, "nla_cm2_m2", result.normalized_leakage_cm2_m2, 1);
}

/// The lowest of the directions is stated, so each must have one.
bool has_r2(const RunRecord& record, const RunResult& result) {
  return std::all_of(result.directions.begin(), result.directions.end(), [&record](const DirectionResult& d) {
    return !d.own.n.known || standard_fit_json(d, record.procedure).at("r2").is_number();
  });
}

void put_estimate(json& out, const RunRecord& record, const RunResult& result) {
  put_interval(out, "c_m3_h_pan", result.c_m3_s_pan, kHourlyPerSecond);
  put_interval(out, "n", result.n, 1);
  put_flows(out, result.q_ref_m3_s, result.flows, record.procedure.reference_pressure_pa);
  put_specific_flows(out, record, result);
  put_code_figures(out, record, result);
  out["wind_bound_frac"] = number_if(result.computed && record.conditions.has_wind, result.wind_bound_frac);
  const bool assumed = exponent_assumed(result, record.procedure);
  out["exponent_assumed"] = assumed;
  out["estimate_text"] = own_fit_text(assumed);
  out["r2"] = number_if(result.computed && has_r2(record, result), result.r2);
  out["budget"] = budget_json(result.computed, result.budget);
}

/// Mean of one figure of the directions' own fits; null as soon as one direction lacks it.
json mean_of(const json& fits, const std::string& key) {
  double sum = 0;
  for (const json& fit : fits) {
    const auto it = fit.find(key);
    if (it == fit.end() || !it->is_number()) return nullptr;
    sum += it->get<double>();
  }
  return fits.empty() ? json(nullptr) : number_or_null(sum / static_cast<double>(fits.size()));
}

/// The procedure's own fit at reference air: of one direction the fit itself; of two the mean of flows and
/// exponents, as the procedures ask for, without an interval.
json standard_json(const RunRecord& record, const RunResult& result) {
  const double reference_pa = record.procedure.reference_pressure_pa;
  json fits = json::array();
  for (const DirectionResult& d : result.directions) fits.push_back(standard_fit_json(d, record.procedure));
  json out = json::object();
  if (fits.size() == 1) {
    out = fits[0];
  } else {
    const std::string q_ref = "q" + key_pressure(reference_pa) + "_m3_h";
    for (const std::string& key :
         {q_ref, std::string("q4_m3_h"), std::string("q10_m3_h"), std::string("q50_m3_h"),
          std::string("q75_m3_h"), std::string("n"), std::string("ela4_cm2"), std::string("ela10_cm2"),
          std::string("eqla10_cm2")})
      out[key] = mean_of(fits, key);
    out["exponent_assumed"] = record.procedure.fit == control::FitMethod::fixed_exponent;
    out["valid"] =
        !fits.empty() && std::all_of(fits.begin(), fits.end(), [](const json& f) { return f["valid"]; });
  }
  const json& q50 = out.at("q50_m3_h");
  const double volume = record.building.volume_m3;
  out["n50_per_h"] = q50.is_number() && volume > 0 ? json(q50.get<double>() / volume) : json(nullptr);
  out["text"] = standard_fit_text(record.procedure);
  out["method"] = name_of(record.procedure.fit);
  out["confidence"] = record.procedure.confidence;
  return out;
}

}  // namespace

json result_json(const ResultHead& head, const RunRecord& record, const RunResult& result,
                 const control::EngineConfig& engine) {
  const control::ProcedureSpec& procedure = record.procedure;
  json out = {{"run_id", head.run_id},
              {"procedure", procedure.id.view()},
              {"procedure_title", procedure.title.view()},
              {"standard_name", procedure.standard.view()},
              {"software_version", head.software_version},
              {"started_at", utc_text(head.started_unix_ms)},
              {"rig", engine.rig_name.view()},
              {"state", name_of(head.state)},
              {"computed", result.computed},
              {"valid", result.valid},
              {"reference_pressure_pa", procedure.reference_pressure_pa},
              {"building", building_json(record.building)},
              {"conditions", conditions_json(record.conditions)},
              {"continues", continuation_json(record)},
              {"baselines", baselines_json(record)},
              {"stations", json::array()},
              {"directions", json::array()},
              {"verdicts", verdicts_json(record, result)},
              {"standard", standard_json(record, result)},
              {"diagnosis", diagnosis_json(record, result)},
              {"cautions", cautions_of(head.state, record, result)}};
  put_estimate(out, record, result);
  bool extrapolated = false;
  for (const DirectionResult& d : result.directions) {
    for (json& station : stations_json(d, engine)) out["stations"].push_back(std::move(station));
    out["directions"].push_back(direction_json(d, procedure));
    extrapolated = extrapolated || d.extrapolated;
  }
  out["extrapolated"] = extrapolated;
  return out;
}

control::Result<json> result_json(const RecordingReader& recording) {
  const auto meta = recording.meta();
  if (!meta) return tl::unexpected(meta.error());
  const auto summary = recording.summary();
  if (!summary) return tl::unexpected(summary.error());
  const auto snapshot = recording.last_snapshot();
  if (!snapshot) return tl::unexpected(snapshot.error());
  if (!*snapshot)
    return tl::unexpected(
        control::Error{control::Errc::missing_key, recording.run_id(), "has no averages and so no result"});
  const ResultHead head{meta->run_id, meta->software_version, summary->state, meta->started_unix_ms};
  return result_json(head, (*snapshot)->record, (*snapshot)->result, meta->engine);
}

}  // namespace leeward::daemon
