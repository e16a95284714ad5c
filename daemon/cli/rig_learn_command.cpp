#include <nlohmann/json.hpp>

#include "daemon/cli/follow_run.hpp"
#include "daemon/cli/run_commands.hpp"
#include "daemon/config/found_drive.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

constexpr const char* kCaution =
    "The fan will turn: the building goes up and down below 10 Pa for about a minute. Shut windows and outer "
    "doors, open the inner ones. leeward stop ends it at any time.";

std::string cell(std::string text, std::size_t width) {
  text.resize(std::max(text.size(), width), ' ');
  return text + "  ";
}

std::string drive_table(const nlohmann::json& found) {
  const auto figure = [&found](const std::string& key) { return fixed_text(found.value(key, 0.0), 3); };
  std::string out =
      cell("figure", 14) + cell("value", 7) + cell("95 % interval", 16) + cell("unit", 4) + "meaning\n";
  for (const DriveFigure& f : kDriveFigures) {
    const std::string key = f.key;
    out += cell(key, 14) + cell(figure(key), 7) +
           cell(figure(key + "_low") + " to " + figure(key + "_high"), 16) + cell(f.unit, 4) + f.meaning +
           "\n";
  }
  return out + "\nquality " + fixed_text(found.value("quality_frac", 0.0), 2) + " of 1, highest pressure " +
         pressure_text(found.value("highest_pa", 0.0)) + ", restriction " + found.value("restriction", "") +
         ", found at " + found.value("found_at", "");
}

int nothing_stored(const CommonOptions& common, const std::string& why, const std::string& hint = {}) {
  return report_failure(common.json, {exit_failed, "not_found_out", why, hint});
}

/// Of the experiment with this recording; null where it did not run its whole course.
nlohmann::json attempt_of(const nlohmann::json& found, const std::string& run_id) {
  nlohmann::json last = found.value("last_experiment", nlohmann::json());
  return last.is_object() && last.value("run_id", "") == run_id ? last : nlohmann::json();
}

int show_found(const HttpClient& client, const CommonOptions& common, const std::string& run_id) {
  const auto found = call(client, "GET", "/v1/rig-learn");
  if (!found && found.error().code == "drive_unknown")
    return nothing_stored(common,
                          "the experiment found nothing that could be stored: " + found.error().detail,
                          found.error().hint);
  if (!found) return report_failure(common.json, found.error());
  const nlohmann::json last = attempt_of(*found, run_id);
  if (last.is_null())
    return nothing_stored(common, "stopped before its end; what was stored before still holds");
  if (found->value("run_id", "") != run_id)
    return nothing_stored(common, last.value("text", "") + "; what was stored before still holds");
  if (common.json) {
    print_json(*found);
  } else {
    print_text(drive_table(*found));
  }
  for (const nlohmann::json& warning : found->value("warnings", nlohmann::json::array()))
    print_progress("warning: " + warning.get<std::string>());
  if (last.value("stored", false)) return exit_done;
  print_progress(last.value("text", ""));
  return exit_io;
}
}  // namespace

int run_command(const RigLearnCommand& command, const CommonOptions& common) {
  nlohmann::json body = nlohmann::json::object();
  if (!command.direction.empty()) body["direction"] = command.direction;
  if (command.volume_m3) body["volume_m3"] = *command.volume_m3;
  const auto client = link_to(common.target);
  if (!client) return report_failure(common.json, client.error());
  print_progress(kCaution);
  const auto started = call(*client, "POST", "/v1/rig-learn", body);
  if (!started) return report_failure(common.json, started.error());
  const std::string run_id = started->value("run_id", std::string{});
  const auto state = follow_run(*client, run_id, common.target, RunFollower::Of::hand);
  if (!state) return report_failure(common.json, state.error());
  if (*state == "tripped")
    return report_failure(common.json, {exit_trip, "tripped", "the fan was tripped; nothing was stored",
                                        "leeward status says why, leeward clear-trip clears it"});
  return show_found(*client, common, run_id);
}

}  // namespace leeward::daemon
