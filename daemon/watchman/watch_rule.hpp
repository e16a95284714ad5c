#pragma once
/// What the watchman does about what it sees: a pure function.

#include <chrono>

#include "daemon/config/rig_spec.hpp"
#include "daemon/watchman/lifeline.hpp"

namespace leeward::daemon {

struct WatchSight {
  DaemonStage stage = DaemonStage::starting;
  bool is_gone = false;  ///< the process has ended
  std::chrono::nanoseconds since_beat{};
  bool is_fan_told = false;  ///< the watchman has stopped the fan itself
};

enum class WatchAct : std::uint8_t {
  look_on,
  kill_daemon,  ///< and then stop the fan: a process that wakes up again must not command it with what it
                ///< held
  stop_fan,     ///< the daemon can't write any more
  leave
};

struct WatchLimits {
  std::chrono::nanoseconds driving{};
  std::chrono::nanoseconds stopping{};
};

/// Where a sample is due at least five times a second, 400 ms; more only where samples are rarer, since the
/// control thread beats once a sample.
[[nodiscard]] WatchLimits watch_limits(const RigSpec& rig);

[[nodiscard]] WatchAct next_act(const WatchSight& sight, const WatchLimits& limits);

}  // namespace leeward::daemon
