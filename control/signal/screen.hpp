#pragma once
/// The sample screen of one channel: what may be believed, and why not.

#include <array>
#include <cstdint>

#include "control/sample.hpp"

namespace leeward::control {

struct ScreenTuning {
  double low = -1e9;  ///< readings beyond low..high are out of range
  double high = 1e9;
  double missing_s = 0.3;     ///< a value older than this is no value
  double frozen_s = 2.0;      ///< the same raw value for so long, while it should move or used to flicker
  double saturated_s = 0.2;   ///< at or beyond an end of the range for so long
  double max_rate_per_s = 0;  ///< the quickest change that can be real; 0: no spike screen
  double least_jump = 4.0;    ///< smaller jumps do no harm and are believed
  double spike_sigma = 5.0;   ///< a spike is also this far off the last few readings, in their own unrest
};

inline constexpr std::size_t kScreenRecent = 5;

struct ScreenState {
  bool has_value = false;     ///< nothing is believed until a good reading has come
  double value = 0;           ///< last accepted
  std::int64_t value_ns = 0;  ///< its stamp
  bool has_stamp = false;     ///< a reading has been seen
  std::int64_t last_ns = 0;   ///< stamp of the newest reading seen, believed or not
  double last_raw = 0;
  double same_s = 0;               ///< time that the raw value has not changed
  std::int32_t same_count = 0;     ///< ... and samples
  double flicker = 0;              ///< learnt chance that a quiet sample differs from the one before
  std::int32_t flicker_count = 0;  ///< samples that it was learnt from
  double saturated_s = 0;
  bool suspect = false;  ///< the last reading looked like a spike
  double suspect_value = 0;
  std::int32_t spikes = 0;                     ///< counted since the start
  std::array<double, kScreenRecent> recent{};  ///< last accepted, in turn; the first one fills them all
  std::int32_t next_recent = 0;
  double unrest = 0;  ///< mean change from one accepted reading to the next
  bool operator==(const ScreenState&) const = default;
  template <class V>
  static void describe(V&& v) {
    v("has_value", &ScreenState::has_value);
    v("value", &ScreenState::value);
    v("value_ns", &ScreenState::value_ns);
    v("has_stamp", &ScreenState::has_stamp);
    v("last_ns", &ScreenState::last_ns);
    v("last_raw", &ScreenState::last_raw);
    v("same_s", &ScreenState::same_s);
    v("same_count", &ScreenState::same_count);
    v("flicker", &ScreenState::flicker);
    v("flicker_count", &ScreenState::flicker_count);
    v("saturated_s", &ScreenState::saturated_s);
    v("suspect", &ScreenState::suspect);
    v("suspect_value", &ScreenState::suspect_value);
    v("spikes", &ScreenState::spikes);
    v("recent", &ScreenState::recent);
    v("next_recent", &ScreenState::next_recent);
    v("unrest", &ScreenState::unrest);
  }
};

struct ScreenOutput {
  bool fresh = false;   ///< a new reading was accepted in this tick
  bool usable = false;  ///< value is younger than the missing limit
  double value = 0;     ///< last accepted; 0 while there is none
  double age_s = 0;
  Quality quality = Quality::absent;  ///< of this tick's reading
  bool spike = false;
  bool frozen = false;
  bool saturated = false;
  bool gap = false;  ///< the reading accepted now came later than missing_s after the one before
};

/// Frozen means the same raw value for frozen_s although the quantity must have changed meanwhile, or
/// although the channel's own noise makes so long a standstill next to impossible (1 in 10 million).
/// @param moving  the quantity must have changed since the raw value last did
/// A reading whose stamp is more than missing_s ahead of now is not believed: it would look fresh for ever.
/// Spike means further from the last accepted reading than the quantity can have moved, and further from
/// the middle of the last few than their unrest explains: a storm is not a row of spikes.
/// A true step is delayed by one sample: a reading far off is believed when the next one agrees with it.
[[nodiscard]] ScreenOutput screen_step(const ScreenTuning& tuning, ScreenState& state, const Reading& reading,
                                       std::int64_t now_ns, bool moving) noexcept;

}  // namespace leeward::control
