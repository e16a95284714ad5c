#include "daemon/cli/run_end.hpp"

#include <nlohmann/json.hpp>

#include "daemon/cli/follow_run.hpp"
#include "daemon/cli/run_follower.hpp"

namespace leeward::daemon {
namespace {

void show_without_result(const CommonOptions& common, const std::string& run_id, const std::string& state,
                         const std::string& detail) {
  if (common.json) {
    print_json({{"run_id", run_id}, {"state", state}, {"result", nullptr}, {"detail", detail}});
  } else {
    print_text("run " + run_id + " ended: " + state);
  }
}
}  // namespace

int follow_and_show(const CommonOptions& common, const HttpClient& client, const std::string& run_id,
                    const FaceOptions& face, std::optional<std::vector<control::TargetSpec>> targets) {
  const auto state = follow_run(client, run_id, common.target, RunFollower::Of::run);
  if (!state) return report_failure(common.json, state.error());
  const auto result = call(client, "GET", "/v1/runs/" + run_id + "/result");
  if (!result) {
    show_without_result(common, run_id, *state, result.error().detail);
    return exit_code_of(*state);
  }
  if (!targets) {
    const auto named = chosen_targets(face, result->value("building", nlohmann::json::object()));
    if (!named) return report_failure(common.json, named.error());
    targets = *named;
  }
  show_result(*result, *targets, face, common.json);
  print_progress("run " + run_id + ": " + *state + "; leeward asks lists what is left to restore");
  return exit_code_of(*state);
}

}  // namespace leeward::daemon
