#include <nlohmann/json.hpp>

#include "daemon/cli/output.hpp"
#include "daemon/cli/recording_place.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/recorder/recording_check.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {
namespace {

nlohmann::json check_json(const std::string& file, const RecordingCheck& check) {
  nlohmann::json ranges = nlohmann::json::array();
  for (const TickRange& range : check.ticks)
    ranges.push_back({{"first_seq", range.first_seq}, {"last_seq", range.last_seq}});
  return {{"file", file},
          {"run_id", check.run_id},
          {"whole", check.is_whole()},
          {"ended", check.is_ended},
          {"run_state", name_of(check.state)},
          {"ticks", check.readable()},
          {"tick_ranges", std::move(ranges)},
          {"recorded_s", check.recorded_s},
          {"snapshots", check.snapshots},
          {"damage", check.damage}};
}

std::string hole_text(const TickRange& before, const TickRange& after) {
  const std::uint64_t missing = after.first_seq - before.last_seq - 1;
  return "missing: " + std::to_string(missing) + " ticks between tick " + std::to_string(before.last_seq) +
         " and tick " + std::to_string(after.first_seq) + "\n";
}

std::string check_text(const RecordingCheck& check) {
  std::string text = check.run_id.empty() ? "recording without a readable run id\n" : check.run_id + "\n";
  for (const std::string& damage : check.damage) text += "damage: " + damage + "\n";
  text += "readable: " + std::to_string(check.readable()) + " ticks, " + fixed_text(check.recorded_s, 1) +
          " s, " + std::to_string(check.snapshots) + " times averages and result\n";
  for (std::size_t i = 1; i < check.ticks.size(); ++i) text += hole_text(check.ticks[i - 1], check.ticks[i]);
  text += check.is_ended ? "the run's end: " + std::string(name_of(check.state)) + "\n"
                         : std::string("the run's end was not written: it goes on, or was cut off\n");
  return text + (check.is_whole() ? "whole" : "not whole");
}
}  // namespace

int run_command(const RecordingCommand& command, const CommonOptions& common) {
  const auto path = find_recording(command.recording, command.state, common.target);
  if (!path) return report_failure(common.json, path.error());
  const auto check = check_recording(*path);
  if (!check)
    return report_failure(common.json,
                          {exit_data, "bad_recording", path->string() + ": " + check.error().text});
  if (common.json) {
    print_json(check_json(path->string(), *check));
  } else {
    print_text(check_text(*check));
  }
  if (check->is_whole()) return exit_done;
  return check->readable() > 0 || check->snapshots > 0 ? exit_failed : exit_data;
}

}  // namespace leeward::daemon
