#include "daemon/cli/result_face.hpp"

#include "daemon/cli/output.hpp"
#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/report/ip_figures.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/result_table.hpp"
#include "daemon/report/targets_json.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

Attempt<std::vector<control::TargetSpec>> chosen_targets(const FaceOptions& face,
                                                         const nlohmann::json& building) {
  if (!face.targets.empty()) {
    auto named = load_named_targets(face.targets, default_config_directory());
    if (!named) return tl::unexpected(Failure{exit_usage, "bad_target", to_text(named.errors)});
    return std::move(*named.value);
  }
  std::vector<control::TargetSpec> out;
  for (const nlohmann::json& id : list_at(building, "targets")) {
    if (!id.is_string()) continue;
    // A limit that has gone since the run must not stand between a person and the result.
    auto named = load_named_targets({id.get<std::string>()}, default_config_directory());
    if (named) out.push_back(named.value->front());
    if (!named) print_progress("warning: " + to_text(named.errors));
  }
  return out;
}

void show_result(nlohmann::json result, const std::vector<control::TargetSpec>& targets,
                 const FaceOptions& face, bool json) {
  const auto decision = from_name<control::Decision>(face.decision).value_or(control::Decision::simple);
  const Units units = units_from(face.units).value_or(Units::metric);
  if (!targets.empty()) result["targets"] = targets_json(targets, result, decision);
  if (units == Units::ip) result["ip"] = ip_figures(result);
  if (json) {
    print_json(result);
  } else {
    print_text(result_table(result, units));
  }
}

}  // namespace leeward::daemon
