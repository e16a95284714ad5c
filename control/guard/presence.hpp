#pragma once
/// Watches for a sign of life from the crew while the fan of a run is driven. Without one for an interval the
/// pressure has to go down to the look-round level; after a second interval the fan has to be stopped.

#include <cstdint>

namespace leeward::control {

inline constexpr double kLeastPresence = 30;   // s: more often is a nuisance, and answered without looking
inline constexpr double kMostPresence = 1800;  // s

enum class PresenceStage : std::uint8_t {
  off,      ///< not asked for, or no run
  here,     ///< the last sign is younger than the interval
  lowered,  ///< an interval has passed without a sign
  back      ///< a sign has come since, but nobody has said that the pressure may go up again
};

struct PresenceState {
  PresenceStage stage = PresenceStage::off;
  bool counts = false;  ///< the fan is driven
  bool warned = false;
  double silent_s = 0;  ///< with the fan driven, since the last sign
  bool operator==(const PresenceState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("stage", &PresenceState::stage);
    v("counts", &PresenceState::counts);
    v("warned", &PresenceState::warned);
    v("silent_s", &PresenceState::silent_s);
  }
};

struct PresenceInput {
  double dt_s = 0;
  double interval_s = 0;  ///< 0: no sign is asked for
  bool fan_driven = false;
};

enum class PresenceNews : std::uint8_t { none, warned, lowered };

/// One look at the time, once per sample. What stands still costs nothing: while the fan is off nothing is
/// counted, since it starts again only after an answer.
[[nodiscard]] PresenceNews presence_step(PresenceState& state, const PresenceInput& in) noexcept;

/// A sign of life. It never brings the pressure back up by itself.
/// @returns true where the pressure is low for want of one
bool presence_heard(PresenceState& state) noexcept;

/// The crew says that the pressure may go up again.
void presence_goes_on(PresenceState& state) noexcept;

/// The pressure has to stay at the look-round level or below.
[[nodiscard]] bool keeps_low(const PresenceState& state) noexcept;

/// Silence after which the next thing happens: the pressure goes down, or where it is low, the fan off. The
/// second interval is there because a pressure that the house was walked round at does no harm: whoever was
/// out of reach comes back to a run that can go on. It is as long as the first, so that there is one to know.
[[nodiscard]] double silence_allowed_s(const PresenceState& state, double interval_s) noexcept;

}  // namespace leeward::control
