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
  return {{"run_id", last->run_id},
          {"stored", last->is_stored},
          {"text", last->text},
          {"warnings", last->warnings}};
}

json drive_json(const FoundDrive& drive) {
  json body = {{"rig", drive.owner.rig},
               {"fan", drive.owner.fan},
               {"fan_serial", drive.owner.fan_serial.empty() ? json() : json(drive.owner.fan_serial)},
               {"device", drive.owner.device},
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
  if (content.in_use) {
    json body = drive_json(*content.in_use);
    body["warnings"] = content.warnings;
    body["last_experiment"] = attempt_json(content.last);
    return reply(json_response(200, std::move(body)));
  }
  std::string detail = content.refused.empty() ? "nothing is stored of this rig's drive" : content.refused;
  if (content.last) detail += "; the last experiment: " + content.last->text;
  const bool is_offered = context.drives != nullptr && context.drives->is_offered();
  reply(problem_response({404, "drive_unknown", detail, "",
                          is_offered ? "leeward rig-learn finds it out" : kHowToOfferLearning}));
}

}  // namespace leeward::daemon
