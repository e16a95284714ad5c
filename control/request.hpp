#pragma once
/// What a person or a program asks of the engine, and what it answered.

#include <cstdint>

#include "control/analysis/run_record.hpp"
#include "control/estimate/drive_found.hpp"
#include "control/procedure/building_spec.hpp"
#include "control/procedure/procedure_spec.hpp"
#include "control/signs.hpp"

namespace leeward::control {

enum class RequestKind : std::uint8_t {
  none,
  stop,
  clear_trip,
  baseline,
  hold,
  climb,
  start_run,
  answer,
  pause,
  resume,
  keep,
  learn_drive,
  tell_drive,
  still_here
};
enum class DirectionChoice : std::uint8_t { depressurize, pressurize, both };
enum class Answer : std::uint8_t { none, done, not_applicable, keep, stop };

/// What a run is made of.
struct RunSpec {
  ProcedureSpec procedure;
  BuildingSpec building;
  ConditionsSpec conditions;
  DirectionChoice direction = DirectionChoice::depressurize;
  bool attended = true;   ///< a person in the building answers asks
  double presence_s = 0;  ///< interval in which the crew gives a sign of life; 0: none is asked for
  bool operator==(const RunSpec&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("procedure", &RunSpec::procedure);
    v("building", &RunSpec::building);
    v("conditions", &RunSpec::conditions);
    v("direction", &RunSpec::direction);
    v("attended", &RunSpec::attended);
    v("presence_s", &RunSpec::presence_s);
  }
};

/// What a run that is taken up again brings with it from its earlier recording.
struct KeptRun {
  Continuation from;  ///< no run id: nothing is taken up
  std::int64_t end_ns =
      0;  ///< last stamp of that recording, in its own engine time, which the stamps below are in
  ConditionsSpec conditions;                   ///< that its last part was measured in
  FixedVector<DirectionRecord, 2> directions;  ///< each with at least one station
  [[nodiscard]] bool any() const { return !from.run_id.empty(); }
  bool operator==(const KeptRun&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("from", &KeptRun::from);
    v("end_ns", &KeptRun::end_ns);
    v("conditions", &KeptRun::conditions);
    v("directions", &KeptRun::directions);
  }
};

/// One request; the fields that a kind does not name are left at their defaults.
///   baseline: duration_s   hold: target_pa, direction, max_s, look_round_done, volume_m3, indoor_c,
///   outdoor_c climb: as hold with rate_pa_s   start_run: run, kept   answer: ask_id, answer pause (hold
///   without a target within a run), resume, stop, clear_trip, still_here: nothing   keep (within a hold):
///   keep_frac learn_drive: direction, volume_m3   tell_drive (at any time): drive
struct Request {
  RequestKind kind = RequestKind::none;
  double target_pa = 0;  ///< induced size, above 0
  double rate_pa_s = 0;
  double duration_s = 0;
  double keep_frac = 0;  ///< demand that a hold keeps whatever the pressure does; 0: it regulates again
  double max_s = 1800;
  Direction direction = Direction::depressurize;
  bool look_round_done = false;
  double volume_m3 = 0;  ///< 0: not told
  std::int64_t ask_id = 0;
  Answer answer = Answer::none;
  RunSpec run;
  KeptRun kept;
  DriveFound drive;
  bool operator==(const Request&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("kind", &Request::kind);
    v("target_pa", &Request::target_pa);
    v("rate_pa_s", &Request::rate_pa_s);
    v("duration_s", &Request::duration_s);
    v("keep_frac", &Request::keep_frac);
    v("max_s", &Request::max_s);
    v("direction", &Request::direction);
    v("look_round_done", &Request::look_round_done);
    v("volume_m3", &Request::volume_m3);
    v("ask_id", &Request::ask_id);
    v("answer", &Request::answer);
    v("run", &Request::run);
    v("kept", &Request::kept);
    v("drive", &Request::drive);
  }
};

/// Why a request was refused; `accepted` is 0.
enum class Refusal : std::uint8_t {
  accepted,
  not_finite,          ///< a number is NaN or infinite
  out_of_range,        ///< a number is beyond what is allowed
  above_ceiling,       ///< target above the rig's or the procedure's pressure limit
  no_baseline,         ///< no zero-flow pressure has been taken
  look_round_missing,  ///< above the look-round pressure without the crew's word
  busy,                ///< a run, hold or baseline is going on
  not_running,         ///< nothing to pause, resume or answer
  tripped,             ///< a trip must be cleared first
  no_trip,             ///< nothing to clear
  unknown_ask,
  ask_answered,
  unknown_answer,
  direction_not_allowed,  ///< the procedure asks for other directions
  no_stations,
  unattended_refused,  ///< the rig has no stop of its own when the wire goes silent
  cannot_take_up       ///< what a run would be taken up with does not belong to it
};

}  // namespace leeward::control
