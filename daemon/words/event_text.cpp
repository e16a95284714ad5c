#include "daemon/words/event_text.hpp"

#include "daemon/words/ask_text.hpp"
#include "daemon/words/figures.hpp"
#include "daemon/words/names.hpp"
#include "daemon/words/take_up_text.hpp"
#include "daemon/words/trip_text.hpp"

namespace leeward::daemon {

namespace {

using control::Event;
using control::EventKind;

/// Name of an enumerator that an event carries as a number.
template <class E>
std::string word(std::int64_t raw) {
  const auto names = EnumNames<E>::kNames;
  if (raw < 0 || raw >= static_cast<std::int64_t>(names.size())) return "unknown";
  return std::string(names[static_cast<std::size_t>(raw)]);
}

std::string station_words(const Event& event) { return "station " + std::to_string(event.a + 1); }

std::string sensor_words(const Event& event) {
  return event.a == 0 ? std::string("building pressure") : "signal of fan " + std::to_string(event.a);
}

std::string restriction_words(const Event& event, const control::EngineConfig& config) {
  return restriction_name(config, static_cast<int>(event.a), static_cast<int>(event.b));
}

std::string mismatch_words(const Event& event, const control::EngineConfig& config) {
  return "The signal of fan " + std::to_string(event.a + 1) + " fits " + restriction_words(event, config) +
         " better than the restriction that was named (flow ratio " + fixed_text(event.x, 2) +
         "). Look which one is fitted.";
}

std::string trip_words(const Event& event) {
  const auto cause = static_cast<control::TripCause>(event.a);
  return "Tripped: " + trip_text({.cause = cause,
                                  .mode = static_cast<control::StopMode>(event.b),
                                  .seen = event.x,
                                  .limit = event.y});
}

/// Of a run that goes on from another.
std::string kept_words(const Event& event) {
  if (event.b <= 0) return {};
  return ", " + std::to_string(event.b) + (event.b == 1 ? " station" : " stations") + " kept from " +
         age_text(event.x) + " before";
}

std::string run_text(const Event& event, const control::RunSpec& run) {
  switch (event.kind) {
    case EventKind::phase_changed:
      return "Phase " + word<control::Phase>(event.a) + ", was " + word<control::Phase>(event.b);
    case EventKind::run_started:
      return "Run started: " + std::string(run.procedure.id.view()) + ", " +
             word<control::DirectionChoice>(event.a) + kept_words(event);
    case EventKind::run_ended:
      return "Run ended: " + word<control::RunState>(event.a);
    case EventKind::ask_opened:
      return "Ask " + std::to_string(event.a) + " opened: " + word<control::AskKind>(event.b);
    case EventKind::ask_answered:
      return "Ask " + std::to_string(event.a) + " answered: " + word<control::Answer>(event.b);
    case EventKind::ask_withdrawn:
      return "Ask " + std::to_string(event.a) + " withdrawn";
    default:
      return {};
  }
}

std::string measured_text(const Event& event) {
  switch (event.kind) {
    case EventKind::baseline_taken:
      return std::string("Zero-flow pressure ") + (event.a == 0 ? "before" : "after") +
             " the stations: " + pressure_text(event.x) + ", standard error " + figure_text(event.y, "Pa");
    case EventKind::station_begun:
      return "At " + station_words(event) + ", target " + target_text(event.x);
    case EventKind::station_done:
      return "Finished " + station_words(event) + ": " + pressure_text(event.x) + " induced, " +
             flow_text(event.y) + " as read";
    case EventKind::station_unreachable:
      return "Out of reach: " + station_words(event) + ", target " + target_text(event.x) +
             ", highest reached " + pressure_text(event.y);
    case EventKind::result_ready:
      return std::string("The result is ready, ") + (event.a == 1 ? "valid" : "not valid");
    default:
      return {};
  }
}

/// Where many were summed up, in what time.
std::string since_words(const Event& event) {
  return event.x > 0 ? " in " + seconds_text(event.x) : std::string();
}

std::string sensor_text(const Event& event) {
  switch (event.kind) {
    case EventKind::sample_gap:
      return "Sample periods skipped: " + std::to_string(event.a) + since_words(event);
    case EventKind::tick_late:
      return "Control periods missed: " + std::to_string(event.a) + since_words(event);
    case EventKind::sensor_lost:
      return "Lost: " + sensor_words(event) + ", " + word<control::Quality>(event.b);
    case EventKind::sensor_back:
      return "Back: " + sensor_words(event);
    default:
      return {};
  }
}

std::string presence_text(const Event& event) {
  switch (event.kind) {
    case EventKind::presence_due:
      return "Still here? Without an answer or a tap within " + seconds_text(event.x) +
             (event.a == 1 ? " the fan goes off" : " the pressure goes down to the look-round level");
    case EventKind::presence_lowered:
      return "No sign of life for " + seconds_text(event.x) + ": the pressure goes down to " +
             target_text(event.y) + ". After as long again the fan goes off";
    case EventKind::presence_back:
      return "A sign of life: the pressure stays where it is until somebody lets the run go on";
    default:
      return {};
  }
}

std::string rig_text(const Event& event, const control::EngineConfig& config) {
  const std::string fan = "fan " + std::to_string(event.a + 1);
  switch (event.kind) {
    case EventKind::restriction_fitted:
      return "In " + fan + " now: " + restriction_words(event, config);
    case EventKind::restriction_mismatch:
      return mismatch_words(event, config);
    case EventKind::countdown_started:
      return "The fan starts in " + seconds_text(event.x) + "; any stop ends it";
    case EventKind::tripped:
      return trip_words(event);
    case EventKind::trip_cleared:
      return "Trip cleared: " + word<control::TripCause>(event.a);
    case EventKind::limited:
      return "Demand limited by " + word<control::LimitedBy>(event.a) + " at " + pressure_text(event.x);
    case EventKind::hold_started:
      return "Hold started: " + target_text(event.x) +
             (event.y > 0 ? " at " + figure_text(event.y, "Pa/s") : std::string());
    case EventKind::hold_ended:
      return std::string("Hold ended: ") + (event.a == 1 ? "its time is over" : "stopped");
    case EventKind::paused:
      return "Run paused, the pressure is held";
    case EventKind::resumed:
      return "Run goes on";
    case EventKind::too_windy:
      return "Too windy: the wind alone carries the building to " + pressure_text(event.x) +
             ". Wait for calmer weather.";
    case EventKind::nobody_answered:
      return std::string("Stopped: the fan ran ") + seconds_text(event.x) +
             (event.a == 1 ? " and nobody answered the look-round" : " in a pause that nobody ended");
    case EventKind::request_refused:
      return "Refused: " + word<control::RequestKind>(event.a) + ", " + word<control::Refusal>(event.b);
    case EventKind::drive_experiment_begun:
      return "The experiment with the fan's drive begins: the pressure goes up and down below the look-round "
             "pressure";
    case EventKind::drive_experiment_ended:
      return "The experiment with the fan's drive has ended after " + seconds_text(event.y) +
             ", highest pressure " + pressure_text(event.x);
    case EventKind::drive_told:
      return "The drive is known from now on: " + figure_text(event.x, "s") + " to full speed, " +
             figure_text(event.y, "s") + " lag";
    default:
      return "An event that this version does not know";
  }
}

}  // namespace

std::string event_text(const Event& event, const control::EngineConfig& config, const control::RunSpec& run) {
  std::string text = run_text(event, run);
  if (text.empty()) text = measured_text(event);
  if (text.empty()) text = sensor_text(event);
  if (text.empty()) text = presence_text(event);
  return text.empty() ? rig_text(event, config) : text;
}

}  // namespace leeward::daemon
