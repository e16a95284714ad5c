#pragma once
/// When to look at a sample counter next: seldom while no new count can be there, often around the
/// time when it is due, at whatever rate the device counts.

#include <algorithm>
#include <chrono>
#include <cstdint>

namespace leeward::daemon {

class PollSchedule {
 public:
  using Time = std::chrono::steady_clock::time_point;
  using Duration = std::chrono::nanoseconds;
  static constexpr Duration kShortest{50'000};

  /// @param period  the longest time between counts that is reckoned with
  explicit PollSchedule(Duration period) : period_(period), interval_(period) {}

  /// `counts` new ones were seen at `now`. @returns when to look next
  Time after_count(Time now, std::uint64_t counts) {
    const auto n = static_cast<std::int64_t>(std::max<std::uint64_t>(counts, 1));
    if (last_ != Time{})
      interval_ = std::clamp((now - last_) / n, 2 * kShortest, std::max(period_, 2 * kShortest));
    last_ = now;
    // Most of the interval can be slept; the rest allows for the jitter of both ends.
    return now + interval_ * 7 / 10;
  }

  /// No new count at `now`. @returns when to look next
  [[nodiscard]] Time after_nothing(Time now) const { return now + std::max(interval_ / 20, kShortest); }

 private:
  Duration period_;
  Duration interval_;
  Time last_{};
};

}  // namespace leeward::daemon
