#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_commands.hpp"

namespace leeward::daemon {
namespace {

/// Posts, and says what came of it.
int post(const CommonOptions& common, const std::string& path, const nlohmann::json& body,
         const std::string& when_done) {
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  const auto answer = call(*client, "POST", path, body);
  if (!answer) return report_failure(common.json, answer.error());
  if (common.json) {
    print_json(*answer);
  } else {
    print_text(when_done);
  }
  return exit_done;
}
}  // namespace

int run_command(const BaselineCommand& command, const CommonOptions& common) {
  nlohmann::json body = nlohmann::json::object();
  if (command.seconds) body["duration_s"] = *command.seconds;
  return post(common, "/v1/baseline", body, "taking the zero-flow pressure; leeward watch shows it");
}

int run_command(const HoldCommand& command, const CommonOptions& common) {
  nlohmann::json body = nlohmann::json::object();
  if (command.target_pa) body["target_pa"] = *command.target_pa;
  if (command.rate_pa_s) body["rate_pa_s"] = *command.rate_pa_s;
  if (command.max_s) body["max_s"] = *command.max_s;
  if (!command.direction.empty()) body["direction"] = command.direction;
  if (command.look_round_done) body["look_round_done"] = true;
  const std::string done = !command.target_pa ? "the run pauses where it is; leeward continue goes on"
                           : command.is_climb ? "climbing; leeward stop ends it"
                                              : "holding; leeward stop ends it";
  return post(common, command.is_climb ? "/v1/climb" : "/v1/hold", body, done);
}

int run_command(const PlainCommand& command, const CommonOptions& common) {
  const std::string done = command.path == "stop"         ? "stopped"
                           : command.path == "clear-trip" ? "the trip is cleared"
                           : command.path == "presence"
                               ? "heard; where the pressure was taken down, leeward continue goes on"
                               : "going on";
  return post(common, "/v1/" + command.path, nullptr, done);
}

int run_command(const AnswerCommand& command, const CommonOptions& common) {
  // What is no number cannot be an ask's id; in a path it could mean something else.
  if (command.ask_id.find_first_not_of("0123456789") != std::string::npos)
    return report_failure(common.json, {exit_usage, "usage", "an ask's id is a number, got " + command.ask_id,
                                        "leeward asks lists them"});
  return post(common, "/v1/asks/" + command.ask_id, {{"answer", command.answer}}, "answered");
}

}  // namespace leeward::daemon
