#include "daemon/words/ask_text.hpp"

#include <cmath>

#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::Answer;
using control::Ask;
using control::AskKind;

std::string fan_words(const Ask& ask) { return "fan " + std::to_string(ask.fan + 1); }

std::string checklist_text(const Ask& ask, const control::ProcedureSpec& procedure) {
  const auto& list = ask.restore ? procedure.restore : procedure.checklist;
  const std::string where = std::string(ask.restore ? "Restore " : "Checklist ") +
                            std::to_string(ask.item + 1) + " of " + std::to_string(list.size());
  if (ask.item < 0 || static_cast<std::size_t>(ask.item) >= list.size()) return where;
  return where + ": " + std::string(list[static_cast<std::size_t>(ask.item)].view());
}

std::string look_round_text(const control::ProcedureSpec& procedure) {
  return "Walk through the building, held at " + target_text(procedure.look_round_pa) +
         ": no soot, smoke or smell of combustion gas, no dust from suspect materials, no loose films or "
         "ceilings, windows and outer doors shut. Answer done when all is well, or stop.";
}

std::string turn_text(const Ask& ask) {
  const bool inward = ask.direction == control::Direction::pressurize;
  return "Turn " + fan_words(ask) + " so that it blows air " + (inward ? "into" : "out of") +
         " the building, then answer done. The fan is off.";
}

std::string share_text(double frac) {
  return std::to_string(static_cast<int>(std::lround(100 * frac))) + " %";
}

/// What the restriction that is asked for is expected to do, with a blank before it.
std::string promise_text(const control::FitPromise& promise) {
  if (!promise.known) return "";
  if (promise.blind)
    return " The building has not been measured yet: for one of this size it is likelier to do than the one "
           "that is fitted.";
  std::string text;
  if (promise.stations_meant > 0) {
    const bool all = promise.stations_meant == promise.stations_to_come;
    const std::string count = std::to_string(promise.stations_meant);
    text = " It serves " +
           (promise.stations_to_come == 1 ? "the station"
            : all                         ? "all " + count + " stations"
                  : count + " of the " + std::to_string(promise.stations_to_come) + " stations") +
           " to come with a probability of " + share_text(promise.serves_p) +
           ", the one that is fitted with " + share_text(promise.fitted_p) + ".";
  }
  if (promise.stations_unserved > 0)
    text += " No restriction serves " + std::to_string(promise.stations_unserved) +
            " of the stations to come: they are measured with the one that comes nearest, and marked.";
  return text;
}

}  // namespace

std::string restriction_name(const control::EngineConfig& config, int fan, int restriction) {
  const auto f = static_cast<std::size_t>(fan);
  const auto r = static_cast<std::size_t>(restriction);
  if (fan >= 0 && restriction >= 0 && f < config.fans.size() && r < config.fans[f].restrictions.size())
    return std::string(config.fans[f].restrictions[r].name.view());
  return "restriction " + std::to_string(restriction + 1);
}

std::string ask_text(const Ask& ask, const control::RunSpec& run, const control::EngineConfig& config) {
  switch (ask.kind) {
    case AskKind::checklist:
      return checklist_text(ask, run.procedure);
    case AskKind::cover_fan:
      return "Cover " + fan_words(ask) + " so that no air passes it, then answer done. The fan is off.";
    case AskKind::uncover_fan:
      return "Take the cover off " + fan_words(ask) +
             ", keep clear of the wheel, then answer done. The fan is off until a countdown has ended.";
    case AskKind::fit_restriction:
      return "Fit " + restriction_name(config, ask.fan, ask.restriction) + " into " + fan_words(ask) +
             ", then answer done. The fan is off." + promise_text(ask.promise) +
             " Answer keep to go on with the one that is fitted.";
    case AskKind::look_round:
      return look_round_text(run.procedure);
    case AskKind::turn_fan:
      return turn_text(ask);
  }
  return "An ask that this version does not know.";
}

std::vector<std::string_view> answers_of(AskKind kind) {
  std::vector<std::string_view> names;
  for (const Answer answer : {Answer::done, Answer::not_applicable, Answer::keep, Answer::stop})
    if (control::answer_allowed(kind, answer)) names.push_back(name_of(answer));
  return names;
}

}  // namespace leeward::daemon
