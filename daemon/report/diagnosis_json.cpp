#include "daemon/report/diagnosis_json.hpp"

#include "daemon/report/json_figures.hpp"
#include "daemon/words/finding_text.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::Finding;
using control::FindingKind;
using nlohmann::json;

/// Names of a kind's figures, with their unit; `other` is empty where there is none.
struct EvidenceKeys {
  const char* size;
  const char* other;
};

EvidenceKeys keys_of(FindingKind kind) {
  switch (kind) {
    case FindingKind::opening:
    case FindingKind::seal_off:
      return {"flow_change_frac", ""};
    case FindingKind::exhaust_fan:
      return {"outflow_m3_h", ""};
    case FindingKind::wrong_restriction:
      return {"true_over_read", ""};
    case FindingKind::zero_flow_drift:
      return {"drift_pa", ""};
    case FindingKind::unshared_wind:
      return {"unrest_unshared_pa", "unrest_of_building_pa"};
    case FindingKind::exponent_shift:
      return {"exponent_difference", ""};
    case FindingKind::tubes_swapped:
      return {"induced_pa", ""};
    case FindingKind::wrong_floor_area:
      return {"volume_per_floor_area_m", "limit_m"};
    case FindingKind::wrong_envelope:
      return {"envelope_per_volume_per_m", "limit_per_m"};
    case FindingKind::wrong_barometer:
      return {"altitude_difference_m", ""};
    case FindingKind::signal_lost:
      return {"stations", ""};
    case FindingKind::signal_drift:
      return {"drift_pa", "flow_share"};
    case FindingKind::tube_kinked:
      return {"lag_s", ""};
  }
  return {"size", ""};
}

json evidence_json(const Finding& f, const control::RunRecord& record) {
  const EvidenceKeys keys = keys_of(f.kind);
  const double scale = f.kind == FindingKind::exhaust_fan ? kHourlyPerSecond : 1;
  const std::string size = keys.size;
  json out = {{size, number_or_null(f.size * scale)}};
  out[size + "_u"] = number_if(f.size_u > 0, f.size_u * scale);
  if (*keys.other != 0) out[keys.other] = number_or_null(f.other);
  const auto restriction = static_cast<std::size_t>(f.other);
  if (f.kind == FindingKind::wrong_restriction && restriction < record.fan.restrictions.size())
    out["restriction"] = record.fan.restrictions[restriction].name.view();
  return out;
}

/// Seconds since the run's first zero-flow reading began.
json seconds_json(bool known, std::int64_t at_ns, const control::RunRecord& record) {
  if (!known || record.directions.empty()) return nullptr;
  return static_cast<double>(at_ns - record.directions[0].before.begin_ns) * 1e-9;
}

json finding_json(const Finding& f, const control::RunRecord& record) {
  const auto direction = static_cast<std::size_t>(f.direction);
  const bool of_direction = f.direction >= 0 && direction < record.directions.size();
  json evidence = evidence_json(f, record);
  evidence["direction"] =
      of_direction ? json(name_of(record.directions[direction].direction)) : json(nullptr);
  evidence["station"] = f.station >= 0 ? json(f.station) : json(nullptr);
  evidence["from_s"] = seconds_json(f.from_ns != 0, f.from_ns, record);
  evidence["to_s"] = seconds_json(f.passing, f.to_ns, record);
  return {{"kind", name_of(f.kind)},           {"title", finding_title(f)},
          {"text", finding_text(f, record)},   {"advice", finding_advice(f)},
          {"grade", name_of(f.grade)},         {"sureness", number_or_null(f.sureness)},
          {"sureness_text", sureness_text(f)}, {"evidence", std::move(evidence)}};
}

}  // namespace

json diagnosis_json(const control::RunRecord& record, const control::RunResult& result) {
  json list = json::array();
  for (const Finding& f : result.findings) list.push_back(finding_json(f, record));
  return list;
}

}  // namespace leeward::daemon
