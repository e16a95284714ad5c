#include "daemon/report/targets_json.hpp"

#include "daemon/report/json_figures.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/target_text.hpp"

namespace leeward::daemon {

namespace {

using control::TargetMetric;
using nlohmann::json;

/// Key of the figure in a result; its values are in the metric's unit.
const char* figure_key(TargetMetric metric) {
  switch (metric) {
    case TargetMetric::n50:
      return "n50_per_h";
    case TargetMetric::qe50:
      return "qe50_m3_h_m2";
    case TargetMetric::qf50:
      return "qf50_m3_h_m2";
    case TargetMetric::qe75:
      return "qe75_m3_h_m2";
    case TargetMetric::qe4:
      return "qe4_m3_h_m2";
    case TargetMetric::q4_loss:
      return "q4_loss_m3_h_m2";
    case TargetMetric::normalized_area:
      break;
  }
  return "nla_cm2_m2";
}

control::TargetFigure figure_of(const json& result, TargetMetric metric) {
  const std::string key = figure_key(metric);
  const double value = number_at(result, key);
  return {.known = std::isfinite(value),
          .value = value,
          .high = number_at(result, key + "_high"),
          .upper = number_at(result, key + "_upper"),
          .exponent_assumed = true_at(result, "exponent_assumed")};
}

}  // namespace

json target_json(const control::TargetSpec& target) {
  return {{"id", target.id.view()},
          {"title", target.title.view()},
          {"programme", target.programme.view()},
          {"edition", target.edition.view()},
          {"metric", name_of(target.metric)},
          {"metric_text", target_metric_text(target.metric)},
          {"limit", target.limit},
          {"unit", name_of(target.unit)},
          {"per", target.per.view()},
          {"one_point_factor", target.one_point_factor},
          {"add_uncertainty_above_frac",
           number_if(target.add_uncertainty_above_frac > 0, target.add_uncertainty_above_frac)},
          {"mark", name_of(target.mark)},
          {"source", target.source.view()}};
}

json targets_json(const std::vector<control::TargetSpec>& targets, const json& result,
                  control::Decision decision) {
  json list = json::array();
  for (const control::TargetSpec& target : targets) {
    const control::TargetVerdict verdict = judge_target(target, figure_of(result, target.metric), decision);
    json out = target_json(target);
    out["decision"] = name_of(decision);
    out["value"] = number_if(verdict.judged, verdict.value);
    out["upper"] = number_if(verdict.judged, verdict.upper);
    out["factor"] = number_if(verdict.judged, verdict.factor);
    out["compared"] = number_if(verdict.judged, verdict.compared);
    out["passed"] = verdict.judged ? json(verdict.passed) : json(nullptr);
    out["text"] = target_text(target, verdict, decision);
    list.push_back(std::move(out));
  }
  return list;
}

}  // namespace leeward::daemon
