#include "daemon/api/result_query.hpp"

#include <string_view>

#include <nlohmann/json.hpp>

#include "daemon/config/config_directory.hpp"
#include "daemon/config/load_targets.hpp"
#include "daemon/report/ip_figures.hpp"
#include "daemon/report/loose_json.hpp"
#include "daemon/report/targets_json.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {

std::vector<std::string> split(std::string_view text, char separator) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find(separator), text.size());
    if (end > 0) out.emplace_back(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
  }
  return out;
}

Problem wrong(const std::string& field, std::string detail) {
  return {422, "out_of_range", field + " " + std::move(detail), field, ""};
}

void take(ResultQuery& out, const std::string& key, const std::string& value,
          std::vector<Problem>& problems) {
  if (key == "target") {
    out.targets = split(value, ',');
  } else if (key == "decision") {
    const auto decision = from_name<control::Decision>(value);
    if (!decision) problems.push_back(wrong(key, "must be simple or guarded"));
    out.decision = decision.value_or(out.decision);
  } else if (key == "units") {
    if (value != "metric" && value != "ip") problems.push_back(wrong(key, "must be metric or ip"));
    out.ip = value == "ip";
  } else {
    problems.push_back({422, "unknown_key", "the query has no key " + key.substr(0, 40), key.substr(0, 40),
                        "known are target, decision and units"});
  }
}

/// Of the building, as far as there are any of these ids; of the query all, or none and a problem.
std::vector<control::TargetSpec> targets_of(const nlohmann::json& result, const ResultQuery& query,
                                            std::vector<Problem>& problems) {
  const std::string directory = default_config_directory();
  if (!query.targets.empty()) {
    auto named = load_named_targets(query.targets, directory);
    if (named) return std::move(*named.value);
    problems.push_back(
        {422, "unknown_target", to_text(named.errors), "target", "GET /v1/targets lists them"});
    return {};
  }
  std::vector<control::TargetSpec> out;
  for (const nlohmann::json& id : list_at(object_at(result, "building"), "targets"))
    if (id.is_string())
      if (auto named = load_named_targets({id.get<std::string>()}, directory))
        out.push_back(named.value->front());
  return out;
}

}  // namespace

ResultQuery read_result_query(const std::string& query, std::vector<Problem>& problems) {
  ResultQuery out;
  for (const std::string& part : split(query, '&')) {
    const std::size_t equals = part.find('=');
    if (equals == std::string::npos) {
      take(out, part, "", problems);
    } else {
      take(out, part.substr(0, equals), part.substr(equals + 1), problems);
    }
  }
  return out;
}

void add_asked(nlohmann::json& result, const ResultQuery& query, std::vector<Problem>& problems) {
  const std::vector<control::TargetSpec> targets = targets_of(result, query, problems);
  if (!targets.empty()) result["targets"] = targets_json(targets, result, query.decision);
  if (query.ip) result["ip"] = ip_figures(result);
}

}  // namespace leeward::daemon
