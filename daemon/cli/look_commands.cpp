#include <nlohmann/json.hpp>

#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/cli/status_text.hpp"

namespace leeward::daemon {
namespace {

/// Asks for something and shows it, as it came or in words.
int get(const CommonOptions& common, const std::string& path,
        const std::function<std::string(const nlohmann::json&)>& in_words) {
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  const auto answer = call(*client, "GET", path);
  if (!answer) return report_failure(common.json, answer.error());
  if (common.json) {
    print_json(*answer);
  } else {
    print_text(in_words(*answer));
  }
  return exit_done;
}
}  // namespace

int run_command(const StatusCommand&, const CommonOptions& common) {
  return get(common, "/v1/status", status_text);
}

int run_command(const AsksCommand&, const CommonOptions& common) {
  return get(common, "/v1/asks", [](const nlohmann::json& answer) { return asks_text(answer["asks"]); });
}

int run_command(const RunsCommand&, const CommonOptions& common) {
  return get(common, "/v1/runs", [](const nlohmann::json& answer) { return runs_text(answer["runs"]); });
}

}  // namespace leeward::daemon
