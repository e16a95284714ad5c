#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/client/socket_path.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/rig/run_rig.hpp"

namespace leeward::daemon {

int run_command(const RigCommand& command, const CommonOptions& common) {
  const auto house = load_house(command.house);
  for (const FileError& warning : house.warnings) print_progress("warning: " + to_text(warning));
  if (!house)
    return report_failure(common.json,
                          {exit_data, "bad_house", to_text(house.errors), "leeward check " + command.house});
  RigOptions options;
  options.house = *house.value;
  options.host = command.host;
  options.port = command.port;
  options.speed = command.speed;
  options.seed = command.seed;
  options.auto_crew_s = command.auto_crew_s;
  options.tells_fan = command.tells_fan;
  options.socket_path = common.target.socket.empty() ? default_socket_path().path : common.target.socket;
  options.is_json = common.json;
  const auto ended = run_rig(options);
  if (ended) return exit_done;
  const bool is_usage = ended.error().code == control::Errc::out_of_range;
  return report_failure(common.json, {is_usage ? exit_usage : exit_io, is_usage ? "usage" : "io",
                                      ended.error().text, "--port 0 takes any free one"});
}

}  // namespace leeward::daemon
