#pragma once
/// How a drive stops by itself when nobody has told it anything for a while. On the wall clock at any
/// speed of the simulation: it stands for a real drive's own timer.

#include <chrono>
#include <cstdint>

namespace leeward::daemon {

enum class TimeoutMode : std::uint8_t {
  without_effect,  ///< the register takes a value, the drive runs on
  works,
  absent  ///< there is no such register
};

class DriveTimeout {
 public:
  using Time = std::chrono::steady_clock::time_point;

  void set_limit(double limit_s) { limit_s_ = limit_s; }
  [[nodiscard]] bool tripped() const { return tripped_; }

  /// A command came. Only off wakes a tripped drive up: it never starts again by itself.
  void commanded(Time now, bool enabled) {
    last_ = now;
    if (!enabled) tripped_ = false;
    enabled_ = enabled;
  }
  void look(Time now, TimeoutMode mode) {
    if (mode != TimeoutMode::works || limit_s_ <= 0 || !enabled_) return;
    if (std::chrono::duration<double>(now - last_).count() > limit_s_) tripped_ = true;
  }

 private:
  double limit_s_ = 0;
  bool enabled_ = false;
  bool tripped_ = false;
  Time last_{};
};

}  // namespace leeward::daemon
