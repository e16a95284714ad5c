#pragma once
/// Engine time from the sample counter of a device: how far each new count advances it.

#include <algorithm>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>

namespace leeward::daemon {

/// Shape    pure; the device keeps one.
/// Range    time never goes back: every count and every missing sample advances it by at least one period.
class CounterClock {
 public:
  struct Advance {
    std::int64_t periods = 1;
    std::int32_t skipped = 0;  ///< counts that were not seen before this one
    bool operator==(const Advance&) const = default;
  };

  /// @param modulus  the count at which the device starts again from 0
  explicit CounterClock(std::uint64_t modulus) : modulus_(modulus) {}

  /// Missing samples have been made from our own clock meanwhile: what they advanced is not advanced
  /// again. More than half the range forward can only be a step back: the device was restarted, which
  /// is a gap of unknown length and told as one skipped count.
  [[nodiscard]] Advance on_count(std::uint64_t count) {
    const auto made = std::exchange(missing_, 0);
    const auto last = std::exchange(last_, count);
    if (!last) return {};
    const std::uint64_t ahead = (count + modulus_ - *last) % modulus_;
    if (ahead >= modulus_ / 2) return {.periods = 1, .skipped = 1};
    const auto counts = static_cast<std::int64_t>(std::max<std::uint64_t>(ahead, 1));
    const std::int64_t most = std::numeric_limits<std::int32_t>::max();
    return {.periods = std::max<std::int64_t>(counts - made, 1),
            .skipped = static_cast<std::int32_t>(std::min(counts - 1, most))};
  }

  void on_missing(std::int64_t periods) { missing_ += periods; }

 private:
  std::uint64_t modulus_;
  std::optional<std::uint64_t> last_;
  std::int64_t missing_ = 0;
};

}  // namespace leeward::daemon
