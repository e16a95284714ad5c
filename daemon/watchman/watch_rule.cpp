#include "daemon/watchman/watch_rule.hpp"

#include <algorithm>

namespace leeward::daemon {
namespace {
using std::chrono::milliseconds;
using std::chrono::nanoseconds;

/// Four beats at 10 Hz. With the look of 50 ms, the kill, a connection and three writes it leaves half of the
/// second within which the fan must be off.
constexpr milliseconds kBeatLimit{400};
/// A device that does not answer is given 500 ms to accept the last off.
constexpr milliseconds kStopLimit{700};
/// A sample may be 0.6 of a period late before it counts as missing, and the thread a little later still.
constexpr double kLongestTick = 1.6;
constexpr milliseconds kTickSlack{200};

nanoseconds sample_period(const RigSpec& rig) {
  constexpr double kNsPerS = 1e9;
  const double speed =
      rig.device == DeviceKind::simulated && rig.simulated.speed > 0 ? rig.simulated.speed : 1;
  return nanoseconds(static_cast<std::int64_t>(kNsPerS / (rig.engine.sample_hz * speed)));
}
}  // namespace

WatchLimits watch_limits(const RigSpec& rig) {
  const auto tick = std::chrono::duration_cast<nanoseconds>(sample_period(rig) * kLongestTick);
  const nanoseconds driving = std::max<nanoseconds>(kBeatLimit, tick + kTickSlack);
  return {driving, std::max<nanoseconds>(kStopLimit, driving)};
}

WatchAct next_act(const WatchSight& sight, const WatchLimits& limits) {
  if (sight.is_gone) {
    const bool is_off =
        sight.is_fan_told || sight.stage == DaemonStage::starting || sight.stage == DaemonStage::at_rest;
    return is_off ? WatchAct::leave : WatchAct::stop_fan;
  }
  switch (sight.stage) {
    case DaemonStage::driving:
      return sight.since_beat > limits.driving ? WatchAct::kill_daemon : WatchAct::look_on;
    case DaemonStage::stopping:
      return sight.since_beat > limits.stopping ? WatchAct::kill_daemon : WatchAct::look_on;
    case DaemonStage::let_go:
      return sight.is_fan_told ? WatchAct::look_on : WatchAct::stop_fan;
    case DaemonStage::starting:
    case DaemonStage::at_rest:
      break;
  }
  return WatchAct::look_on;
}

}  // namespace leeward::daemon
