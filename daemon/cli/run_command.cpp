#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/result_face.hpp"
#include "daemon/cli/run_body.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/run_end.hpp"
#include "daemon/config/load_building.hpp"

namespace leeward::daemon {
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
  return follow_and_show(common, *client, run_id, command.face, *targets);
}

}  // namespace leeward::daemon
