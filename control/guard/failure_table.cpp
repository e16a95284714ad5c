#include "control/guard/failure_table.hpp"

#include <array>

namespace leeward::control {
namespace {

using R = Reaction;
using T = TripCause;
using W = Watcher;

constexpr std::string_view kByPerson = "a person clears the trip";
constexpr std::string_view kByItself = "by itself";
constexpr std::string_view kNewRun = "a new run";

constexpr std::array kRows = std::to_array<FailureRow>({
    // the building sensor and its tubes
    {"building sensor silent", "no good reading", "300 ms", R::ramp, kByPerson, "", T::pressure_missing,
     W::guard},
    {"building sensor stuck", "the same raw value though the fan moved, or longer than its noise allows",
     "2 s, longer for a gauge that seldom flickers", R::ramp, kByPerson, "", T::pressure_frozen, W::guard},
    {"building sensor spikes", "further off than the pressure can have moved and than the last readings vary",
     "1 sample", R::note, kByItself, "nothing; the reading is left out and counted", T::none, W::screen},
    {"building sensor out of range", "at or beyond the end of its range", "200 ms", R::cut, kByPerson, "",
     T::pressure_out_of_range, W::guard},
    {"building sensor gives no number", "NaN or infinite", "300 ms", R::ramp, kByPerson, "",
     T::pressure_missing, W::guard},
    {"zero of the building sensor drifts", "the two zero-flow readings differ", "the second reading",
     R::invalidate, kNewRun, "the finding says by how much the zero moved", T::none, W::diagnosis},
    {"building tube off",
     "by the fan's signal or the learnt house there is a pressure, and the gauge shows its zero, or less "
     "than any "
     "lull of the wind explains",
     "demand held at once, stop after 3 s", R::ramp, kByPerson, "", T::no_response, W::guard},
    {"building tube kinked", "the reading follows the fan too slowly", "the end of the run", R::invalidate,
     kNewRun, "the finding says to look at the tube", T::none, W::diagnosis},
    {"building tubes swapped", "the pressure goes against the fan by 10 Pa or 5 sigma",
     "0.7 s, at once at three times that", R::cut, kByPerson, "", T::wrong_way, W::guard},
    {"water in the building tube", "the two zero-flow readings differ", "the second reading", R::invalidate,
     kNewRun, "the finding says to look at the tube", T::none, W::diagnosis},
    // the fan-side sensor
    {"fan-side sensor silent or no number", "no good reading while a run needs the flow", "1 s", R::ramp,
     kByPerson, "", T::signal_missing, W::guard},
    {"fan-side sensor stuck", "flow and pressure do not agree with the house that the run has learnt",
     "the end of the run", R::invalidate, kNewRun, "the finding says to look at the fan's gauge", T::none,
     W::diagnosis},
    {"fan-side sensor out of range", "no usable reading while a run needs the flow", "1 s", R::ramp,
     kByPerson, "", T::signal_missing, W::guard},
    {"zero of the fan-side sensor drifts", "its two zero-flow readings differ", "the second reading", R::note,
     kNewRun, "the flows are corrected; a finding says so where it matters", T::none, W::diagnosis},
    {"fan-side tube kinked or with water in it", "nothing watches how quickly the flow follows", "", R::none,
     "", "nothing, unless flow and pressure disagree at the end of the run", T::none, W::nobody},
    {"fan-side sensor spikes", "further off than the fan can have changed and than the last readings vary",
     "1 sample", R::note, kByItself, "nothing; the reading is left out and counted", T::none, W::screen},
    {"fan-side tube off, or its tubes swapped", "no flow though the fan turns",
     "3 s where the building does not follow either", R::ramp, kByPerson, "", T::no_response, W::guard},
    // the fan and its drive
    {"fan does not turn", "speed and flow would have to make a pressure, and there is none",
     "3 s, and 0.7 s from when the slowest drive would have followed", R::ramp, kByPerson, "", T::no_response,
     W::guard},
    {"fan turns backwards or stands the wrong way round",
     "the pressure goes against the fan by 10 Pa or 5 sigma", "0.7 s, at once at three times that", R::cut,
     kByPerson, "", T::wrong_way, W::guard},
    {"fan lags", "the experiment with the drive finds its lag; nothing watches it afterwards", "", R::none,
     "", "nothing, unless it makes the demand swing", T::none, W::nobody},
    {"fan ignores stop", "the fan-side signal stays at half or more of what it was", "15 s", R::cut,
     kByPerson, "", T::fan_ignores_stop, W::guard},
    {"drive does not take what it is told", "the device answers, but by refusing", "300 ms", R::cut,
     kByPerson, "", T::drive_refuses, W::guard},
    {"restriction is not the one named", "the step of the signal fits another one better",
     "at the look-round", R::note, "the crew names the right one", "which restriction the signal fits",
     T::none, W::diagnosis},
    // the house
    {"door or window opened", "the flow steps up at the same pressure", "the end of the run", R::invalidate,
     kNewRun, "the finding says when and how large", T::none, W::diagnosis},
    {"exhaust fan switched on", "the flow shifts by the same amount at every pressure", "the end of the run",
     R::invalidate, kNewRun, "the finding says how much air", T::none, W::diagnosis},
    {"over-pressure", "the reading is beyond the limit",
     "demand cut in one period, trip after 1 s or at 20 Pa", R::cut, kByPerson, "", T::over_pressure,
     W::guard},
    {"pressure rises too fast", "faster than the rig's limit, over 0.3 s", "held at once, cut after 0.5 s",
     R::cut, kByPerson, "", T::pressure_rate, W::guard},
    {"oscillation", "eight large swings of the demand that the wind does not explain", "up to 64 s", R::ramp,
     kByPerson, "", T::oscillation, W::guard},
    {"target cannot be reached", "full demand below the target", "the station's waiting time", R::note,
     "the next station", "highest pressure reached, and what to change", T::none, W::screen},
    {"wind alone beyond the limit", "the reading is beyond the limit though the fan has long been at rest",
     "8 s at rest", R::limit, kNewRun, "", T::too_windy, W::guard},
    // the bus
    {"one time-out of the bus", "no answer in its time", "at once", R::note, "the next answer",
     "nothing; it is counted", T::none, W::daemon},
    {"bus lost", "no good reading", "300 ms", R::ramp, kByPerson, "", T::pressure_missing, W::guard},
    {"bus lost while a zero-flow pressure is taken", "no good reading, the fan at rest", "30 s", R::cut,
     kByPerson, "", T::pressure_missing, W::guard},
    {"wrong answer, answer of another unit", "the frame does not fit the request",
     "at once; a stop at 300 ms", R::ramp, kByPerson, "", T::pressure_missing, W::guard},
    {"late answer", "its transaction is not the one that is waited for, or its stamp is old",
     "at once; a stop at 300 ms", R::ramp, kByPerson, "", T::pressure_missing, W::guard},
    {"reconnect", "the bus answers again", "at once", R::refuse, kByPerson,
     "the trip stands; the fan never starts by itself", T::none, W::daemon},
    // time
    {"missed ticks", "five periods in a row late, or time that stands", "5 periods", R::ramp, kByPerson, "",
     T::missed_ticks, W::guard},
    {"suspended process", "a gap while the fan was driven", "1 s or 2.5 periods, at the first tick after it",
     R::ramp, kByPerson, "", T::time_gap, W::guard},
    {"clock of the computer not set", "nothing asks whether the calendar can be right", "", R::none, "",
     "nothing", T::none, W::nobody},
    {"second daemon on the same device", "the device, the socket or the folder is locked", "before it begins",
     R::refuse, "the other has ended", "who holds what", T::none, W::daemon},
    {"daemon killed or stuck", "its heartbeat stops", "400 ms", R::cut, "started again, with the fan off",
     "the fan was stopped because the daemon did not answer", T::none, W::watchman},
    {"clock stepped", "nothing depends on the calendar", "", R::note, kByItself, "nothing", T::none,
     W::nobody},
    // the recording
    {"disk full", "a write fails for want of space", "the next transaction, half a second", R::cut,
     "space on the disk, then a new start", "the fan was stopped; what was recorded before is kept", T::none,
     W::daemon},
    {"disk read-only or failing", "a write fails otherwise", "the next transaction, half a second", R::cut,
     "a disk that takes the recording, then a new start", "the fan was stopped; look at the system's log",
     T::none, W::daemon},
    {"disk slow", "a write takes long, or half of the queue waits", "10 s, or half of the queue", R::cut,
     "a quicker disk, then a new start", "the fan was stopped; what waits is written as far as it goes",
     T::none, W::daemon},
    {"recorder failed", "its file cannot be opened", "before the run begins", R::refuse,
     "the file can be opened", "why the run is not begun", T::none, W::daemon},
    // faces and people
    {"interface overloaded", "more connections, larger or slower requests than allowed", "at once", R::refuse,
     kByItself, "the caller is told which bound it has met", T::none, W::daemon},
    {"whoever has the helm vanished", "no word from it", "10 s", R::note, "whoever commands next has it",
     "who has the helm", T::none, W::daemon},
    {"the crew gives no sign of life", "no answer or tap for the interval that the run asks for",
     "down to the look-round pressure at once, stop after a second interval", R::ramp, kByPerson, "",
     T::no_sign_of_life, W::guard},
    {"battery or supply low", "no device that reports it is supported yet", "", R::none, "", "nothing",
     T::none, W::nobody},
    {"operator's stop", "a request of any face", "the next tick, at most 100 ms", R::cut, "a new start",
     "the fan was stopped by request", T::none, W::daemon},
});

}  // namespace

std::span<const FailureRow> failure_table() noexcept { return kRows; }

std::string_view reaction_text(Reaction reaction) noexcept {
  constexpr std::array<std::string_view, 8> texts{
      "nothing is done",     "noted, all goes on", "result marked invalid or in doubt",
      "demand may not rise", "demand is cut down", "refused",
      "ramped to a stop",    "cut off at once"};
  return texts[static_cast<std::size_t>(reaction)];
}

std::string_view watcher_text(Watcher watcher) noexcept {
  constexpr std::array<std::string_view, 6> texts{"guard",  "sample screen", "diagnosis of the run",
                                                  "daemon", "watchman",      "nobody yet"};
  return texts[static_cast<std::size_t>(watcher)];
}

}  // namespace leeward::control
