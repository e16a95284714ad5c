#pragma once
/// Ticks at a fixed period from the old expiry, so that lateness does not add up. Missed ticks are
/// counted and never caught up by a burst.

#include <chrono>
#include <cstdint>

namespace leeward::daemon {

class Pacer {
 public:
  using Time = std::chrono::steady_clock::time_point;
  using Duration = std::chrono::nanoseconds;

  Pacer(Time first, Duration period) : due_(first), period_(period) {}
  [[nodiscard]] Time due() const { return due_; }
  [[nodiscard]] Duration period() const { return period_; }

  /// The tick that is due has begun. @returns ticks missed before it
  std::int32_t begin(Time now) {
    const std::int64_t missed = now > due_ ? (now - due_) / period_ : 0;
    due_ += period_ * (missed + 1);
    return static_cast<std::int32_t>(missed);
  }

 private:
  Time due_;
  Duration period_;
};

}  // namespace leeward::daemon
