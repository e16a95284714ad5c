#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/run_end.hpp"

namespace leeward::daemon {
namespace {

nlohmann::json resume_body(const ResumeCommand& command) {
  nlohmann::json body = nlohmann::json::object();
  for (const auto& [key, value] : command.conditions) body["conditions"][key] = value;
  if (command.is_dry_run) body["dry_run"] = true;
  return body;
}
}  // namespace

int run_command(const ResumeCommand& command, const CommonOptions& common) {
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  const auto started = call(*client, "POST", "/v1/runs/" + command.run + "/resume", resume_body(command));
  if (!started) return report_failure(common.json, started.error());
  const int kept = started->value("stations_kept", 0);
  const std::string what = " goes on with " + command.run + ", " + std::to_string(kept) +
                           (kept == 1 ? " station" : " stations") + " kept";
  if (command.is_dry_run) {
    if (common.json) {
      print_json(*started);
    } else {
      print_text("a new run" + what + ", could start");
    }
    return exit_done;
  }
  const std::string run_id = started->value("run_id", std::string{});
  print_progress("run " + run_id + what);
  return follow_and_show(common, *client, run_id, command.face, std::nullopt);
}

}  // namespace leeward::daemon
