#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/run_follower.hpp"
#include "daemon/cli/stop_signal.hpp"
#include "daemon/config/load_building.hpp"
#include "daemon/report/result_table.hpp"

namespace leeward::daemon {
namespace {

nlohmann::json numbers_json(const std::vector<std::pair<std::string, double>>& numbers) {
  nlohmann::json json = nlohmann::json::object();
  for (const auto& [key, value] : numbers) json[key] = value;
  return json;
}

nlohmann::json run_body(const RunCommand& command, const BuildingFile& file) {
  nlohmann::json body = {{"procedure", command.procedure},
                         {"building", numbers_json(file.given_building)},
                         {"conditions", numbers_json(file.given_conditions)},
                         {"attended", !command.is_unattended}};
  if (!file.building.name.empty()) body["building"]["name"] = std::string(file.building.name.view());
  if (!command.direction.empty()) body["direction"] = command.direction;
  if (command.is_dry_run) body["dry_run"] = true;
  return body;
}

/// Follows until the run is over or the daemon is gone. Ctrl-C stops the run and goes on following.
Attempt<std::string> follow(const HttpClient& client, const std::string& run_id) {
  RunFollower follower(run_id, print_progress);
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
             const std::string& state) {
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
  if (common.json) {
    print_json(*result);
  } else {
    print_text(result_table(*result));
  }
  print_progress("run " + run_id + ": " + state + "; leeward asks lists what is left to restore");
  return code;
}
}  // namespace

int run_command(const RunCommand& command, const CommonOptions& common) {
  const auto file = load_building(command.building);
  for (const FileError& warning : file.warnings) print_progress("warning: " + to_text(warning));
  if (!file) return report_failure(common.json, {exit_data, "bad_building", to_text(file.errors)});
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  const auto started = call(*client, "POST", "/v1/runs", run_body(command, *file.value));
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
  const auto state = follow(*client, run_id);
  if (!state) return report_failure(common.json, state.error());
  return show_end(common, *client, run_id, *state);
}

}  // namespace leeward::daemon
