#include "daemon/words/refusal_text.hpp"

#include <string_view>

#include "daemon/words/ask_text.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"

namespace leeward::daemon {

namespace {

using control::Refusal;
using control::Request;
using control::RequestKind;

/// The name by which faces know a kind of request.
std::string kind_words(RequestKind kind) {
  switch (kind) {
    case RequestKind::clear_trip:
      return "clear-trip";
    case RequestKind::start_run:
      return "run";
    case RequestKind::resume:
      return "continue";
    case RequestKind::still_here:
      return "presence";
    default:
      return std::string(name_of(kind));
  }
}

std::string ceiling_text(const Request& request, const control::EngineConfig& config) {
  const double rig_pa = config.limits.building_pressure_max_pa;
  if (request.kind == RequestKind::start_run) {
    return "The procedure goes up to " + target_text(request.run.procedure.pressure_max_pa) +
           ", above the limit of this rig, " + target_text(rig_pa) + ". Choose a gentler procedure.";
  }
  return "A target of " + target_text(request.target_pa) + " is above the limit of " + target_text(rig_pa) +
         ". Ask for less.";
}

std::string range_text(const Request& request) {
  const std::string what = "A number of this " + kind_words(request.kind) + " is out of range: ";
  switch (request.kind) {
    case RequestKind::hold:
      return what + "target_pa must be at least 1 Pa and max_s from 1 to 86400 s.";
    case RequestKind::climb:
      return what +
             "target_pa must be at least 1 Pa, rate_pa_s from 0.05 to 20 Pa/s and max_s from 1 to "
             "86400 s.";
    case RequestKind::baseline:
      return what + "duration_s must be from 5 to 600 s.";
    case RequestKind::keep:
      return what + "keep_frac must be 0 or a demand within 0.1 of the present one.";
    case RequestKind::learn_drive:
      return what + "volume_m3 must be 0 or above.";
    case RequestKind::tell_drive:
      return what + "each figure must be one that a drive can have.";
    case RequestKind::start_run:
      return what +
             "check the sizes of the building, the conditions and the procedure; presence_s must be from 30 "
             "to "
             "1800 s.";
    default:
      return what + "check the sizes of the building, the conditions and the procedure.";
  }
}

std::string answer_text(Refusal refusal, const Request& request) {
  const std::string ask = "Ask " + std::to_string(request.ask_id);
  if (refusal == Refusal::unknown_ask) return ask + " does not exist. List the open asks.";
  if (refusal == Refusal::ask_answered)
    return ask + " is no longer open: it was answered already, or withdrawn. Nothing more is needed.";
  return ask + " does not accept this answer. Use one of the answers that it lists; done always is.";
}

/// Reasons that need no number.
std::string_view plain_text(Refusal refusal) {
  switch (refusal) {
    case Refusal::no_baseline:
      return "The zero-flow pressure has not been taken. Cover the fan and ask for a baseline first.";
    case Refusal::busy:
      return "A run, hold or baseline is going on. Stop it, or wait for its end.";
    case Refusal::tripped:
      return "The rig is tripped. Find the cause, then clear the trip first.";
    case Refusal::no_trip:
      return "Nothing is tripped, so there is nothing to clear.";
    case Refusal::cannot_take_up:
      return "What is kept of the earlier recording does not belong to this run, or nothing of it is "
             "missing. "
             "Start a new run.";
    case Refusal::no_stations:
      return "The procedure has no pressure stations. Give it at least one.";
    default:
      return "Refused for a reason that this version does not know.";
  }
}

/// What cannot be done now, and when it can.
std::string not_running_text(RequestKind kind) {
  if (kind == RequestKind::resume) return "No run is paused, so there is nothing to continue.";
  if (kind == RequestKind::still_here) return "No run asks for a sign of life just now.";
  if (kind == RequestKind::pause)
    return "A hold without target_pa pauses a run, and none can be paused now: only while its fan holds or "
           "climbs, and once. Give target_pa to hold a pressure outside a run.";
  return "Nothing is running that " + kind_words(kind) + " could act on. Start it first.";
}

std::string direction_text(const Request& request) {
  switch (request.run.procedure.directions) {
    case control::DirectionRule::one:
      return "The procedure measures one direction. Ask for one of them.";
    case control::DirectionRule::both:
      return "The procedure measures both directions. Ask for both.";
    case control::DirectionRule::one_or_both:
      break;
  }
  return "The procedure does not allow this direction.";
}

}  // namespace

std::string refusal_text(Refusal refusal, const Request& request, const control::EngineConfig& config) {
  switch (refusal) {
    case Refusal::accepted:
      return {};
    case Refusal::not_finite:
      return "A number of this " + kind_words(request.kind) + " is not finite. Give plain numbers.";
    case Refusal::out_of_range:
      return range_text(request);
    case Refusal::above_ceiling:
      return ceiling_text(request, config);
    case Refusal::look_round_missing:
      return "Above " + target_text(config.look_round_pa) +
             " someone must have walked round the building first. Do so, then ask again with "
             "look_round_done.";
    case Refusal::not_running:
      return not_running_text(request.kind);
    case Refusal::unattended_refused:
      return "The fan of this rig does not stop by itself when its connection goes silent "
             "(rig.silence_stop is none), so a person must be in the building. Start the run attended.";
    case Refusal::unknown_ask:
    case Refusal::ask_answered:
    case Refusal::unknown_answer:
      return answer_text(refusal, request);
    case Refusal::direction_not_allowed:
      return direction_text(request);
    default:
      return std::string(plain_text(refusal));
  }
}

}  // namespace leeward::daemon
