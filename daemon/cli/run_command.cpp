#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/result_face.hpp"
#include "daemon/cli/run_body.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/run_follower.hpp"
#include "daemon/cli/stop_signal.hpp"
#include "daemon/config/load_building.hpp"

namespace leeward::daemon {
namespace {

std::string options_of(const Target& target) {
  if (target.url.empty()) return target.socket.empty() ? std::string() : " --socket " + target.socket;
  return " --url " + target.url + (target.token_file.empty() ? "" : " --token-file " + target.token_file);
}

/// Follows until the run is over or the daemon is gone. Ctrl-C stops the run and goes on following.
Attempt<std::string> follow(const HttpClient& client, const std::string& run_id, const Target& target) {
  RunFollower follower(run_id, print_progress, options_of(target));
  bool has_stopped = false;
  watch_for_stop_signal();
  while (!follower.is_over()) {
    const auto followed = client.stream(
        "/v1/stream",
        [&](const StreamEvent& event) {
          follower.take(event);
          if (follower.take_gap())
            if (const auto run = call(client, "GET", "/v1/runs/" + run_id)) follower.look_at(*run);
          if (stop_signal_came() && !has_stopped) {
            has_stopped = true;
            print_progress("stopping the run");
            if (const auto stopped = call(client, "POST", "/v1/stop"); !stopped)
              print_progress("the stop did not arrive: " + stopped.error().detail);
          }
          return !follower.is_over();
        },
        follower.last_event_id());
    // A reader that was too slow is cut off and may come back; a daemon that is gone is not there.
    if (!followed) return tl::unexpected(failure_of(followed.error()));
  }
  return follower.end_state();
}

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
  if (!file) return report_failure(common.json, {exit_data, "bad_building", to_text(file.errors)});
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
  const auto state = follow(*client, run_id, common.target);
  if (!state) return report_failure(common.json, state.error());
  return show_end(common, *client, run_id, *state, command.face, *targets);
}

}  // namespace leeward::daemon
