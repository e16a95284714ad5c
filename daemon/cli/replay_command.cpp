#include <nlohmann/json.hpp>

#include "daemon/cli/output.hpp"
#include "daemon/cli/recording_place.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/recorder/engine_step.hpp"
#include "daemon/recorder/recording_reader.hpp"
#include "daemon/recorder/replay.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

nlohmann::json report_json(const ReplayReport& report) {
  nlohmann::json json = {
      {"same", report.same()},         {"ticks", report.ticks},
      {"snapshots", report.snapshots}, {"largest_result_relative", report.largest_result_relative},
      {"broken_after_seq", nullptr},   {"first_difference", nullptr}};
  if (report.broken_after_seq) json["broken_after_seq"] = *report.broken_after_seq;
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
  std::string ticks = std::to_string(report.ticks) + " ticks";
  if (report.broken_after_seq)
    ticks += " up to tick " + std::to_string(*report.broken_after_seq) + ", where the recording is broken,";
  if (report.same()) return ticks + " replayed, every output the same bit for bit";
  const ReplayDifference& difference = *report.first_difference;
  return ticks + " replayed; first difference at tick " + std::to_string(difference.seq) + " (" +
         fixed_text(difference.engine_time_s, 1) + " s): " + difference.field + " was " +
         difference.recorded + ", is now " + difference.replayed;
}
}  // namespace

int run_command(const ReplayCommand& command, const CommonOptions& common) {
  const auto path = find_recording(command.recording, command.state, common.target);
  if (!path) return report_failure(common.json, path.error());
  const auto bad = [&](const control::Error& error) {
    return report_failure(common.json, {exit_data, "bad_recording", path->string() + ": " + error.text});
  };
  const auto reader = RecordingReader::open(*path);
  if (!reader) return bad(reader.error());
  const auto report = replay(*reader, engine_step_maker());
  if (!report) return bad(report.error());
  if (common.json) {
    print_json(report_json(*report));
  } else {
    print_text(report_text(*report));
  }
  return report->same() ? exit_done : exit_failed;
}

}  // namespace leeward::daemon
