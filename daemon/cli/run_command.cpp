#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/follow_run.hpp"
#include "daemon/cli/result_face.hpp"
#include "daemon/cli/run_body.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/run_follower.hpp"
#include "daemon/config/load_building.hpp"

namespace leeward::daemon {
namespace {

int show_end(const CommonOptions& common, const HttpClient& client, const std::string& run_id,
             const std::string& state, const FaceOptions& face,
             const std::vector<control::TargetSpec>& targets) {
  const auto result = call(client, "GET", "/v1/runs/" + run_id + "/result");
  const int code = exit_code_of(state);
  if (!result) {
    if (common.json) {
      print_json(
          {{"run_id", run_id}, {"state", state}, {"result", nullptr}, {"detail", result.error().detail}});
    } else {
      print_text("run " + run_id + " ended: " + state);
    }
    return code;
  }
  show_result(*result, targets, face, common.json);
  print_progress("run " + run_id + ": " + state + "; leeward asks lists what is left to restore");
  return code;
}
}  // namespace

int run_command(const RunCommand& command, const CommonOptions& common) {
  const auto file = load_building(command.building);
  if (!file)
    return report_failure(
        common.json, {exit_data, "bad_building", to_text(file.errors), "leeward check " + command.building});
  const auto body = run_body(command, file);
  if (!body) return report_failure(common.json, body.error());
  for (const std::string& warning : body->warnings) print_progress("warning: " + warning);
  const auto targets = chosen_targets(command.face, body->json["building"]);
  if (!targets) return report_failure(common.json, targets.error());
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  const auto started = call(*client, "POST", "/v1/runs", body->json);
  if (!started) return report_failure(common.json, started.error());
  if (command.is_dry_run) {
    if (common.json) {
      print_json(*started);
    } else {
      print_text("the run could start");
    }
    return exit_done;
  }
  const std::string run_id = started->value("run_id", std::string{});
  print_progress("run " + run_id + " has begun");
  const auto state = follow_run(*client, run_id, common.target, RunFollower::Of::run);
  if (!state) return report_failure(common.json, state.error());
  return show_end(common, *client, run_id, *state, command.face, *targets);
}

}  // namespace leeward::daemon
