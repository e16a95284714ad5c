#include "daemon/cli/status_text.hpp"

#include <cmath>

#include <nlohmann/json.hpp>

#include "daemon/report/loose_json.hpp"
#include "daemon/report/text_block.hpp"
#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {

std::string pressure_of(const nlohmann::json& object, const char* key) {
  return pressure_text(number_at(object, key));
}

bool knows(const nlohmann::json& object, const char* key) { return std::isfinite(number_at(object, key)); }

std::string fan_line(const nlohmann::json& fan) {
  const bool is_on = true_at(fan, "enabled");
  std::string line = text_at(fan, "name") + ": " +
                     (is_on ? percent_text(number_at(fan, "demand_frac")) : std::string("off"));
  if (knows(fan, "flow_m3_s")) line += ", " + flow_text(number_at(fan, "flow_m3_s")) + " as read";
  if (knows(fan, "signal_pa")) line += ", signal " + pressure_of(fan, "signal_pa");
  line += ", " + text_at(fan, "restriction");
  if (true_at(fan, "covered")) line += ", covered";
  return line;
}

std::string interval_line(const nlohmann::json& estimates, const char* key, const char* title,
                          const char* unit) {
  const auto it = estimates.find(key);
  if (it == estimates.end() || !it->is_object()) return {};
  return std::string(title) + ": " + figure_text(number_at(*it, "value"), unit) + " (" +
         figure_text(number_at(*it, "low"), "") + " to " + figure_text(number_at(*it, "high"), "") + ")\n";
}

std::string presence_line(const nlohmann::json& presence) {
  if (!knows(presence, "left_s")) return {};
  const std::string state = text_at(presence, "state");
  const bool is_low = state == "lowered" || state == "back";
  return "sign of life: leeward here within " + seconds_text(number_at(presence, "left_s")) + ", else " +
         (is_low ? "the fan goes off" : "the pressure goes down") + "\n";
}
}  // namespace

std::string ask_text_block(const std::string& before, const nlohmann::json& ask) {
  std::string answers;
  if (const auto it = ask.find("answers"); it != ask.end())
    for (const nlohmann::json& answer : *it)
      if (answer.is_string()) answers += (answers.empty() ? "" : ", ") + answer.get<std::string>();
  return wrapped(before + text_at(ask, "id") + "  ", text_at(ask, "text") + " [" + answers + "]");
}

std::string asks_text(const nlohmann::json& asks) {
  if (asks.empty()) return "nothing is asked";
  std::string text;
  for (const nlohmann::json& ask : asks) text += ask_text_block("", ask);
  return text;
}

std::string status_text(const nlohmann::json& status) {
  std::string text = text_at(status, "sentence") + "\n";
  text += "phase: " + text_at(status, "phase");
  if (const std::string run = text_at(status, "run_id"); !run.empty()) text += ", run " + run;
  if (const std::string state = text_at(status, "run_state"); !state.empty() && state != "none")
    text += " " + state;
  text += "\nbuilding pressure: " + pressure_of(status, "building_pressure_pa");
  if (knows(status, "induced_pressure_pa")) text += ", induced " + pressure_of(status, "induced_pressure_pa");
  if (knows(status, "target_pa")) text += ", target " + pressure_of(status, "target_pa");
  text += "\n";
  if (const auto fans = status.find("fans"); fans != status.end())
    for (const nlohmann::json& fan : *fans) text += fan_line(fan) + "\n";
  if (const auto estimates = status.find("estimates"); estimates != status.end()) {
    text += interval_line(*estimates, "q50_m3_h", "flow at 50 Pa", "m3/h");
    text += interval_line(*estimates, "n", "exponent", "");
  }
  if (const auto presence = status.find("presence"); presence != status.end() && presence->is_object())
    text += presence_line(*presence);
  if (const auto trip = status.find("trip"); trip != status.end() && trip->is_object())
    text += "trip: " + text_at(*trip, "text") + "\n";
  if (const auto asks = status.find("asks"); asks != status.end() && !asks->empty())
    text += "asks:\n" + asks_text(*asks);
  if (const std::string fault = text_at(status, "recorder_fault"); !fault.empty())
    text += "recording: " + fault + "\n";
  text += "device: " + text_at(status, "device") + ", recorder: " + text_at(status, "recorder");
  if (const auto silence = status.find("silence_stop"); silence != status.end() && silence->is_object())
    text += "\n" + text_at(*silence, "text");
  return text;
}

std::string runs_text(const nlohmann::json& runs) {
  if (runs.empty()) return "there are no runs yet";
  std::string text;
  for (const nlohmann::json& run : runs) {
    std::string line = left_in(text_at(run, "id"), 24) + left_in(text_at(run, "state"), 13) +
                       left_in(text_at(run, "procedure"), 14) + text_at(run, "building");
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  return text;
}

}  // namespace leeward::daemon
