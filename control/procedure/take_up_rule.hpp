#pragma once
/// Whether a run that was broken off may be taken up again, and with what.

#include <cstdint>

#include "control/engine_config.hpp"
#include "control/phase.hpp"
#include "control/request.hpp"

namespace leeward::control {

/// What its recording tells of a run that has ended, one way or another.
struct BrokenOffRun {
  bool is_run = false;  ///< false: a hold, a baseline or an experiment by hand
  RunState state = RunState::interrupted;
  RunSpec run;
  RunRecord record;         ///< as it stood after its last average
  EngineConfig rig;         ///< that it was measured with
  std::int64_t end_ns = 0;  ///< its last stamp, in its own engine time
};

enum class TakeUpRefusal : std::uint8_t {
  none,
  not_a_run,
  running,
  finished,         ///< done or invalid: it has its result
  nothing_kept,     ///< no station was finished
  nothing_missing,  ///< all was measured
  too_many_parts,   ///< taken up as often as a run can be
  too_old,          ///< its oldest reading is
  clock_behind,     ///< the calendar stands before its last reading, so that its age is not known
  rig_changed,      ///< see what
  fan_changed,      ///< see what
  gauge_changed
};

struct TakeUpVerdict {
  TakeUpRefusal refusal = TakeUpRefusal::none;
  Name what;            ///< the setting that is another one now
  double oldest_s = 0;  ///< age of the oldest reading that is kept
  bool operator==(const TakeUpVerdict&) const = default;
};

/// What makes the flow and pressure that were read comparable must be as it was: the rig by its name, its
/// fans with their calibration, the accuracy of the building gauge. Gains, limits and rates may be others.
/// @param age_s       from its last reading to now, by the calendar
/// @param most_age_s  that the oldest reading which is kept may have: weather and zero-flow pressure move on
[[nodiscard]] TakeUpVerdict may_take_up(const BrokenOffRun& broken, const EngineConfig& rig, double age_s,
                                        double most_age_s) noexcept;

/// What is kept: every direction that has a finished station.
/// Range   `from` is left to the caller, who knows the file
[[nodiscard]] KeptRun kept_of(const BrokenOffRun& broken) noexcept;

}  // namespace leeward::control
