#include "daemon/words/take_up_text.hpp"

#include <algorithm>
#include <cmath>

#include "control/procedure/kept_run.hpp"

namespace leeward::daemon {
namespace {

using control::TakeUpRefusal;

std::string changed_text(std::string_view what, std::string_view run) {
  return "The rig is not as it was in " + std::string(run) + ": " + std::string(what) +
         " is another one now, so its stations can't be put together with new ones.";
}

std::string stations_text(int count) {
  return std::to_string(count) + (count == 1 ? " station was" : " stations were");
}

}  // namespace

std::string age_text(double age_s) {
  const auto minutes = static_cast<long>(std::clamp(std::floor(age_s / 60 + 0.5), 0.0, 1e6));
  if (minutes < 1) return "less than a minute";
  if (minutes < 60) return std::to_string(minutes) + " min";
  return std::to_string(minutes / 60) + " h " + std::to_string(minutes % 60) + " min";
}

std::string take_up_text(const control::TakeUpVerdict& verdict, std::string_view run_id, double most_age_s) {
  const std::string run(run_id);
  switch (verdict.refusal) {
    case TakeUpRefusal::none:
      return {};
    case TakeUpRefusal::not_a_run:
      return run + " was done by hand: it has no stations to go on with.";
    case TakeUpRefusal::running:
      return run + " is still going on.";
    case TakeUpRefusal::finished:
      return run + " went to its end, so there is nothing to go on with.";
    case TakeUpRefusal::nothing_kept:
      return "No station of " + run + " was finished, so there is nothing to keep.";
    case TakeUpRefusal::nothing_missing:
      return "Everything of " + run + " was measured, so nothing is left to measure.";
    case TakeUpRefusal::too_many_parts:
      return run +
             " has been taken up twice already: more parts than two before the last are not put together.";
    case TakeUpRefusal::too_old:
      return "The oldest reading of " + run + " is " + age_text(verdict.oldest_s) + " old, more than the " +
             age_text(most_age_s) +
             " that this rig allows: wind, temperatures and the zero-flow pressure move on.";
    case TakeUpRefusal::clock_behind:
      return "The clock of this machine stands before the end of " + run +
             ", so nobody can tell how old it is.";
    case TakeUpRefusal::rig_changed:
    case TakeUpRefusal::fan_changed:
    case TakeUpRefusal::gauge_changed:
      return changed_text(verdict.what.view(), run);
  }
  return {};
}

std::string take_up_hint(TakeUpRefusal refusal) {
  switch (refusal) {
    case TakeUpRefusal::running:
      return "POST /v1/continue ends a pause";
    case TakeUpRefusal::too_old:
      return "start a new run; resume_within_s in the rig file's [recorder] sets the limit";
    case TakeUpRefusal::clock_behind:
      return "set the clock, then try again";
    default:
      return "start a new run";
  }
}

std::string continuation_text(const control::RunRecord& record) {
  if (record.continues.run_id.empty()) return {};
  return "The run was resumed " + age_text(record.continues.age_s) + " after " +
         std::string(record.continues.run_id.view()) +
         " broke off: " + stations_text(control::kept_stations(record)) +
         " kept from it and not measured again. A fresh zero-flow pressure was taken; each station is "
         "corrected by "
         "that of its own part, and kept ones have none taken after them where their direction was broken "
         "off.";
}

}  // namespace leeward::daemon
