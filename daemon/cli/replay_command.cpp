#include <filesystem>

#include <nlohmann/json.hpp>

#include "daemon/cli/output.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/recorder/engine_step.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "daemon/recorder/replay.hpp"
#include "daemon/recorder/run_store.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

/// A file as it stands, or a run of the usual folder.
control::Result<std::filesystem::path> find_recording(const std::string& text) {
  std::error_code ignored;
  if (std::filesystem::exists(text, ignored)) return std::filesystem::path(text);
  const auto folder = default_runs_directory();
  if (!folder) return tl::unexpected(folder.error());
  const auto store = RunStore::open(*folder);
  if (!store) return tl::unexpected(store.error());
  return store->find(text);
}

nlohmann::json report_json(const ReplayReport& report) {
  nlohmann::json json = {{"same", report.same()},
                         {"ticks", report.ticks},
                         {"snapshots", report.snapshots},
                         {"largest_result_relative", report.largest_result_relative},
                         {"first_difference", nullptr}};
  if (report.first_difference) {
    const ReplayDifference& difference = *report.first_difference;
    json["first_difference"] = {{"seq", difference.seq},
                                {"engine_time_s", difference.engine_time_s},
                                {"field", difference.field},
                                {"recorded", difference.recorded},
                                {"replayed", difference.replayed}};
  }
  return json;
}

std::string report_text(const ReplayReport& report) {
  const std::string ticks = std::to_string(report.ticks) + " ticks";
  if (report.same()) return ticks + " replayed, every output the same bit for bit";
  const ReplayDifference& difference = *report.first_difference;
  return ticks + " replayed; first difference at tick " + std::to_string(difference.seq) + " (" +
         fixed_text(difference.engine_time_s, 1) + " s): " + difference.field + " was " +
         difference.recorded + ", is now " + difference.replayed;
}
}  // namespace

int run_command(const ReplayCommand& command, const CommonOptions& common) {
  const auto path = find_recording(command.recording);
  if (!path)
    return report_failure(common.json,
                          {exit_data, "no_recording", "there is no recording " + command.recording,
                           "give a file, or a run id as leeward runs lists them"});
  const auto reader = RecordingReader::open(*path);
  if (!reader) return report_failure(common.json, {exit_data, "bad_recording", reader.error().text});
  const auto report = replay(*reader, engine_step_maker());
  if (!report) return report_failure(common.json, {exit_data, "bad_recording", report.error().text});
  if (common.json) {
    print_json(report_json(*report));
  } else {
    print_text(report_text(*report));
  }
  return report->same() ? exit_done : exit_failed;
}

}  // namespace leeward::daemon
