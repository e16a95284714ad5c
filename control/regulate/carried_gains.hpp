#pragma once
/// Gains that were found on a rig, at one pressure, used at all of them.

#include "control/engine_config.hpp"
#include "control/regulate/pid.hpp"

namespace leeward::control {

[[nodiscard]] bool has_tuned_gains(const RegulatorSpec& spec) noexcept;

/// The found gains in the ratio in which the rule's own change with pressure: what the rule has wrong of the
/// plant everywhere is mended everywhere. At the pressure of the finding they are the found ones.
/// @param found_at  the rule's gains at the pressure of the finding
/// @param here      the rule's gains where they are wanted
/// Range   the ratio is kept within 1/kMostCarried..kMostCarried
[[nodiscard]] PidTuning carried_gains(const RegulatorSpec& spec, const PidTuning& found_at,
                                      const PidTuning& here) noexcept;
inline constexpr double kMostCarried = 5;

}  // namespace leeward::control
