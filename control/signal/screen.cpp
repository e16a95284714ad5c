#include "control/signal/screen.hpp"

#include <algorithm>
#include <cmath>

#include "control/seconds_between.hpp"
#include "control/signal/filters.hpp"

namespace leeward::control {
namespace {

constexpr double kUnrestSamples = 50;
constexpr double kSigmaOfMeanChange = 0.8862;  // of white noise: sqrt(pi) / 2
constexpr std::int32_t kFlickerSamples = 300;
constexpr double kFlickerDoubt = 20;         // samples' worth of belief that it never differs
constexpr double kNextToImpossible = -16.1;  // ln of 1 in 10 million

Quality judge(const ScreenTuning& t, const ScreenState& s, const Reading& r, std::int64_t now_ns) {
  if (r.quality != Quality::good) return r.quality;
  if (!std::isfinite(r.value)) return Quality::not_finite;
  if (seconds_between(now_ns, r.stamp_ns) > t.missing_s) return Quality::device_error;
  if (s.has_stamp && r.stamp_ns <= s.last_ns) return Quality::stale;
  if (r.value < t.low || r.value > t.high) return Quality::out_of_range;
  return Quality::good;
}

/// Whether a reading is as near the middle of the last few as their own unrest lets expect.
bool explained_by_unrest(const ScreenTuning& t, const ScreenState& s, double value) {
  const double off = std::abs(value - median_of(s.recent));
  return off <= t.spike_sigma * kSigmaOfMeanChange * s.unrest;
}

/// Far from the last accepted value, and not where the suspect before it was.
bool is_spike(const ScreenTuning& t, ScreenState& s, const Reading& r) {
  if (!(t.max_rate_per_s > 0) || !s.has_value) return false;
  const double room =
      t.least_jump + t.max_rate_per_s * std::max(0.0, seconds_between(s.value_ns, r.stamp_ns));
  const bool far = std::abs(r.value - s.value) > room && !explained_by_unrest(t, s, r.value);
  const bool confirmed = s.suspect && std::abs(r.value - s.suspect_value) <= room;
  if (!far || confirmed) {
    s.suspect = false;
    return false;
  }
  s.suspect = true;
  s.suspect_value = r.value;
  s.spikes += 1;
  return true;
}

void accept(const ScreenTuning& t, ScreenState& s, const Reading& r, ScreenOutput& out) {
  if (s.has_value) {
    s.unrest += (std::abs(r.value - s.value) - s.unrest) / kUnrestSamples;
    out.gap = seconds_between(s.value_ns, r.stamp_ns) > t.missing_s;
  } else {
    s.recent.fill(r.value);
  }
  s.recent[static_cast<std::size_t>(s.next_recent)] = r.value;
  s.next_recent = (s.next_recent + 1) % static_cast<std::int32_t>(kScreenRecent);
  s.has_value = true;
  s.value = r.value;
  s.value_ns = r.stamp_ns;
  out.fresh = true;
}

void watch_for_standstill(const ScreenTuning& t, ScreenState& s, const Reading& r, bool moving, double dt_s) {
  const bool same = s.has_value && r.value == s.last_raw;
  s.same_s = same ? s.same_s + dt_s : 0.0;
  s.same_count = same ? s.same_count + 1 : 0;
  // Learnt while nothing moves, so that a ramp does not pass for noise.
  if (s.has_value && !moving) {
    s.flicker_count = std::min(s.flicker_count + 1, kFlickerSamples);
    s.flicker += ((same ? 0.0 : 1.0) - s.flicker) / (kFlickerDoubt + s.flicker_count);
  }
  const bool at_end = r.value <= t.low || r.value >= t.high;
  s.saturated_s = at_end ? s.saturated_s + dt_s : 0.0;
  s.last_raw = r.value;
}

bool is_frozen(const ScreenTuning& t, const ScreenState& s, bool moving) {
  if (s.same_s < t.frozen_s) return false;
  return moving || s.same_count * std::log(1.0 - std::min(s.flicker, 0.99)) < kNextToImpossible;
}

}  // namespace

ScreenOutput screen_step(const ScreenTuning& t, ScreenState& s, const Reading& r, std::int64_t now_ns,
                         bool moving) noexcept {
  ScreenOutput out;
  out.quality = judge(t, s, r, now_ns);
  // What the device itself finds fault with carries no value that could be looked at.
  const bool read =
      r.quality == Quality::good && (out.quality == Quality::good || out.quality == Quality::out_of_range);
  if (read) {
    const double dt_s = s.has_stamp ? std::max(0.0, seconds_between(s.last_ns, r.stamp_ns)) : 0.0;
    watch_for_standstill(t, s, r, moving, dt_s);
    s.has_stamp = true;
    s.last_ns = r.stamp_ns;
  }
  if (out.quality == Quality::good) {
    out.spike = is_spike(t, s, r);
    if (!out.spike) accept(t, s, r, out);
  }
  out.value = s.value;
  out.age_s = s.has_value ? std::max(0.0, seconds_between(s.value_ns, now_ns)) : 1e9;
  out.usable = s.has_value && out.age_s < t.missing_s;
  out.frozen = is_frozen(t, s, moving);
  out.saturated = s.saturated_s >= t.saturated_s;
  return out;
}

}  // namespace leeward::control
