#include "daemon/cli/status_text.hpp"

#include <nlohmann/json.hpp>

#include "daemon/words/figures.hpp"

namespace leeward::daemon {
namespace {
using nlohmann::json;

std::string text_of(const json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_string() ? it->get<std::string>() : std::string{};
}

bool has_number(const json& object, const char* key) {
  const auto it = object.find(key);
  return it != object.end() && it->is_number();
}

std::string pressure_of(const json& object, const char* key) {
  return has_number(object, key) ? pressure_text(object[key].get<double>()) : "not known";
}

std::string fan_line(const json& fan) {
  const bool is_on = fan.value("enabled", false);
  std::string line = text_of(fan, "name") + ": " +
                     (is_on ? percent_text(fan.value("demand_frac", 0.0)) : std::string("off"));
  if (has_number(fan, "flow_m3_s")) line += ", " + flow_text(fan["flow_m3_s"].get<double>());
  if (has_number(fan, "signal_pa")) line += ", signal " + pressure_of(fan, "signal_pa");
  line += ", " + text_of(fan, "restriction");
  if (fan.value("covered", false)) line += ", covered";
  return line;
}

std::string interval_line(const json& estimates, const char* key, const char* title, const char* unit) {
  const auto it = estimates.find(key);
  if (it == estimates.end() || !it->is_object()) return {};
  return std::string(title) + ": " + figure_text(it->value("value", 0.0), unit) + " (" +
         figure_text(it->value("low", 0.0), "") + " to " + figure_text(it->value("high", 0.0), "") + ")\n";
}
}  // namespace

std::string ask_line(const json& ask) {
  std::string answers;
  if (const auto it = ask.find("answers"); it != ask.end())
    for (const json& answer : *it) answers += (answers.empty() ? "" : ", ") + answer.get<std::string>();
  return text_of(ask, "id") + "  " + text_of(ask, "text") + "  [" + answers + "]";
}

std::string asks_text(const json& asks) {
  if (asks.empty()) return "nothing is asked";
  std::string text;
  for (const json& ask : asks) text += (text.empty() ? "" : "\n") + ask_line(ask);
  return text;
}

std::string status_text(const json& status) {
  std::string text = text_of(status, "sentence") + "\n";
  text += "phase: " + text_of(status, "phase");
  if (const std::string run = text_of(status, "run_id"); !run.empty())
    text += ", run " + run + " " + text_of(status, "run_state");
  text += "\nbuilding pressure: " + pressure_of(status, "building_pressure_pa");
  if (has_number(status, "induced_pressure_pa"))
    text += ", induced " + pressure_of(status, "induced_pressure_pa");
  if (has_number(status, "target_pa")) text += ", target " + pressure_of(status, "target_pa");
  text += "\n";
  if (const auto fans = status.find("fans"); fans != status.end())
    for (const json& fan : *fans) text += fan_line(fan) + "\n";
  if (const auto estimates = status.find("estimates"); estimates != status.end()) {
    text += interval_line(*estimates, "q50_m3_h", "flow at 50 Pa", "m3/h");
    text += interval_line(*estimates, "n", "exponent", "");
  }
  if (const auto trip = status.find("trip"); trip != status.end() && trip->is_object())
    text += "trip: " + text_of(*trip, "text") + "\n";
  if (const auto asks = status.find("asks"); asks != status.end() && !asks->empty())
    text += "asks:\n" + asks_text(*asks) + "\n";
  text += "device: " + text_of(status, "device") + ", recorder: " + text_of(status, "recorder");
  return text;
}

std::string runs_text(const json& runs) {
  if (runs.empty()) return "there are no runs yet";
  std::string text;
  for (const json& run : runs)
    text += (text.empty() ? "" : "\n") + text_of(run, "id") + "  " + text_of(run, "state") + "  " +
            text_of(run, "procedure") + "  " + text_of(run, "building");
  return text;
}

std::string live_line(const json& sample) {
  std::string line = text_of(sample, "sentence");
  if (line.empty()) line = text_of(sample, "phase");
  line += " | " + pressure_of(sample, "building_pressure_pa");
  if (const auto fans = sample.find("fans"); fans != sample.end())
    for (const json& fan : *fans)
      line += " | " + (fan.value("enabled", false) ? percent_text(fan.value("demand_frac", 0.0)) : "off");
  if (has_number(sample, "flow_m3_s")) line += " | " + flow_text(sample["flow_m3_s"].get<double>());
  return line;
}

}  // namespace leeward::daemon
