#pragma once
/// How old the readings of a run may be that is gone on with, as a rig file's [recorder] sets it.

#include "daemon/config/toml_reader.hpp"

namespace leeward::daemon {

/// A front or a change of wind takes hours, a repair or a charged battery minutes (common practice, no
/// source).
inline constexpr double kResumeWithinS = 7200;
inline constexpr NumberRange kResumeWithin{60, 86400, "s"};

}  // namespace leeward::daemon
