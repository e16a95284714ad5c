#pragma once
/// How much the building pressure has moved lately.

#include <cmath>
#include <cstdint>
#include <deque>

namespace leeward::daemon {

/// Standard deviation about the mean over the last ten seconds.
class RecentPressure {
 public:
  static constexpr std::int64_t kWindowNs = 10'000'000'000;

  /// @param is_good  a bad reading is left out
  void add(std::int64_t stamp_ns, double pressure_pa, bool is_good) {
    if (!readings_.empty() && stamp_ns < readings_.back().stamp_ns) readings_.clear();
    while (!readings_.empty() && stamp_ns - readings_.front().stamp_ns >= kWindowNs) readings_.pop_front();
    const bool is_room = readings_.size() < kMost;
    if (is_good && std::isfinite(pressure_pa) && is_room) readings_.push_back({stamp_ns, pressure_pa});
  }

  /// NaN with fewer than two readings.
  [[nodiscard]] double unrest_pa() const {
    if (readings_.size() < 2) return std::nan("");
    const auto count = static_cast<double>(readings_.size());
    double mean_pa = 0;
    for (const Reading& reading : readings_) mean_pa += reading.pressure_pa / count;
    double squares = 0;
    for (const Reading& reading : readings_)
      squares += (reading.pressure_pa - mean_pa) * (reading.pressure_pa - mean_pa);
    return std::sqrt(squares / (count - 1));
  }

 private:
  static constexpr std::size_t kMost = 1000;
  struct Reading {
    std::int64_t stamp_ns = 0;
    double pressure_pa = 0;
  };
  std::deque<Reading> readings_;
};

}  // namespace leeward::daemon
