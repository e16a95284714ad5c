#include "daemon/document/target_lines.hpp"

#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/targets_json.hpp"

namespace leeward::daemon {
namespace {

TargetLine line_of(const std::string& id, const nlohmann::json& result) {
  auto named = load_named_targets({id}, default_config_directory());
  if (!named) return {id, id + ": not judged, since there is no such target", false, false};
  const nlohmann::json judged = targets_json(*named.value, result, control::Decision::simple).front();
  return {text_at(judged, "title"), text_at(judged, "text"), judged["passed"].is_boolean(),
          true_at(judged, "passed")};
}

}  // namespace

std::vector<TargetLine> target_lines(const nlohmann::json& result) {
  std::vector<TargetLine> lines;
  for (const nlohmann::json& id : list_at(object_at(result, "building"), "targets"))
    if (id.is_string()) lines.push_back(line_of(id.get<std::string>(), result));
  return lines;
}

}  // namespace leeward::daemon
