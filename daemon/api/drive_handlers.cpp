#include "daemon/api/drive_handlers.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

#include "daemon/api/drive_shelf.hpp"
#include "daemon/api/problem.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

constexpr std::chrono::milliseconds kFitPatience{5000};
constexpr double kTwoSided95 = 1.96;

json attempt_json(const std::optional<DriveAttempt>& last) {
  if (!last) return nullptr;
  return {{"run_id", last->run_id}, {"stored", last->is_stored}, {"text", last->text}};
}

json drive_json(const FoundDrive& drive) {
  json body = {{"rig", drive.rig},
               {"fan", drive.fan},
               {"restriction", drive.restriction},
               {"found_at", drive.found_at_utc},
               {"run_id", drive.run_id},
               {"quality_frac", drive.quality_frac},
               {"misfit", drive.misfit},
               {"highest_pa", drive.highest_pa}};
  for (const DriveFigure& f : kDriveFigures) {
    const control::FoundFigure& figure = drive.found.*f.member;
    const std::string key = f.key;
    body[key] = figure.value;
    body[f.u_key] = figure.u;
    body[key + "_low"] = std::max(0.0, figure.value - kTwoSided95 * figure.u);
    body[key + "_high"] = figure.value + kTwoSided95 * figure.u;
  }
  return body;
}
}  // namespace

void get_rig_learn(const ApiContext& context, const ApiRequest&, const PathArgs&, const Reply& reply) {
  const auto content =
      context.drives == nullptr ? DriveShelf::Content{} : context.drives->content(kFitPatience);
  if (content.stored) {
    json body = drive_json(*content.stored);
    body["last_experiment"] = attempt_json(content.last);
    return reply(json_response(200, std::move(body)));
  }
  const std::string why = content.last ? "; the last experiment: " + content.last->text : std::string();
  reply(problem_response({404, "drive_unknown", "nothing is stored of this rig's drive" + why, "",
                          "leeward rig-learn finds it out"}));
}

}  // namespace leeward::daemon
