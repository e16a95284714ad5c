#include <fstream>

#include <nlohmann/json.hpp>

#include "daemon/api/result_of.hpp"
#include "daemon/cli/daemon_link.hpp"
#include "daemon/cli/recording_place.hpp"
#include "daemon/cli/result_face.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/report/loose_json.hpp"

namespace leeward::daemon {
namespace {

/// Nobody there to ask: the recording itself may still be.
Failure with_other_way(Failure failure) {
  if (failure.exit == exit_no_daemon) failure.hint += "\nor read the recording itself: --state DIR";
  return failure;
}

/// Something about a run, from the daemon or from the recording in a folder.
template <class T>
Attempt<T> fetch(const std::string& run, const std::string& state, const Target& target,
                 Attempt<T> (*from_daemon)(const HttpClient&, const std::string&),
                 control::Result<T> (*from_recording)(const std::filesystem::path&)) {
  if (!is_run_id(run))
    return tl::unexpected(Failure{exit_usage, "usage", run + " is no run id", "leeward runs lists them"});
  if (state.empty()) {
    const auto client = link_to(target);
    if (!client) return tl::unexpected(client.error());
    return from_daemon(*client, "/v1/runs/" + run).map_error(with_other_way);
  }
  const auto path = find_recording(run, state);
  if (!path) return tl::unexpected(path.error());
  return from_recording(*path).map_error([&path](const control::Error& error) {
    return Failure{exit_data, "bad_recording", path->string() + ": " + error.text};
  });
}

Attempt<nlohmann::json> result_from_daemon(const HttpClient& client, const std::string& path) {
  return call(client, "GET", path + "/result");
}

Attempt<std::string> samples_from_daemon(const HttpClient& client, const std::string& path) {
  return call_text(client, "GET", path + "/samples.csv");
}
}  // namespace

int run_command(const ResultCommand& command, const CommonOptions& common) {
  const auto result = fetch<nlohmann::json>(command.run, command.state, common.target, result_from_daemon,
                                            result_of_recording);
  if (!result) return report_failure(common.json, result.error());
  const auto targets = chosen_targets(command.face, object_at(*result, "building"));
  if (!targets) return report_failure(common.json, targets.error());
  show_result(*result, *targets, command.face, common.json);
  return exit_done;
}

int run_command(const ExportCommand& command, const CommonOptions& common) {
  const auto csv = fetch<std::string>(command.run, command.state, common.target, samples_from_daemon,
                                      samples_of_recording);
  if (!csv) return report_failure(common.json, csv.error());
  if (command.csv == "-") {
    print_text(*csv);
    return exit_done;
  }
  std::ofstream file(command.csv, std::ios::binary | std::ios::trunc);
  file << *csv;
  file.close();
  if (!file) return report_failure(common.json, {exit_io, "io", "cannot write " + command.csv});
  if (common.json) {
    print_json({{"file", command.csv}, {"bytes", csv->size()}});
  } else {
    print_progress("wrote " + command.csv + ", " + std::to_string(csv->size()) + " bytes");
  }
  return exit_done;
}

}  // namespace leeward::daemon
