#pragma once
/// What daemon and watchman tell each other: one shared page, read and written without a lock or a system
/// call, so that neither can hold up the other.

#include <atomic>
#include <chrono>
#include <cstdint>

namespace leeward::daemon {

/// What the death of the daemon would mean for the fan.
enum class DaemonStage : std::uint32_t {
  starting,  ///< nothing but off has been written
  driving,   ///< the control thread runs: the fan may turn, and the beat must not stop
  stopping,  ///< the last off is on its way
  at_rest,   ///< the device has accepted off, and nothing more will be written
  let_go     ///< nothing more will be written, but the device has not accepted off
};

struct Lifeline {
  std::atomic<std::int64_t> daemon_beat_ns = 0;    ///< of the control thread, monotonic clock
  std::atomic<std::int64_t> watchman_beat_ns = 0;  ///< likewise
  std::atomic<DaemonStage> stage = DaemonStage::starting;
  std::atomic<bool> is_ready = false;
};
static_assert(std::atomic<std::int64_t>::is_always_lock_free && std::atomic<DaemonStage>::is_always_lock_free,
              "an atomic with a lock in it is of no use between processes");

inline std::int64_t monotonic_now_ns() {
  const auto now = std::chrono::steady_clock::now().time_since_epoch();
  return std::chrono::duration_cast<std::chrono::nanoseconds>(now).count();
}

}  // namespace leeward::daemon
