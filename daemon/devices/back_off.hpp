#pragma once
/// How long to wait before a lost connection is tried again: not at all after one that had worked (so
/// that a single loss is mended within the period), then 50 ms doubling to 2 s.

#include <algorithm>
#include <chrono>

namespace leeward::daemon {

class BackOff {
 public:
  using Duration = std::chrono::milliseconds;
  static constexpr Duration kFirst{50};
  static constexpr Duration kLast{2000};

  /// The connection has given an answer.
  void worked() { next_ = Duration::zero(); }
  /// @returns the wait after this failure
  [[nodiscard]] Duration failed() {
    const Duration wait = next_;
    next_ = std::clamp(next_ * 2, kFirst, kLast);
    return wait;
  }

 private:
  Duration next_{0};
};

}  // namespace leeward::daemon
