#pragma once
/// The daemon's end of the line to its watchman.

#include <sys/types.h>

#include "daemon/devices/unique_fd.hpp"
#include "daemon/watchman/lifeline.hpp"

namespace leeward::daemon {

class Tether {
 public:
  /// Longer without an echo, and the watchman is taken for gone. It looks every 50 ms.
  static constexpr std::chrono::milliseconds kEchoLimit{500};

  /// @param line  its other end is closed when the watchman's process ends
  Tether(Lifeline& page, pid_t watchman_pid, UniqueFd line);

  /// The control thread begins to drive.
  void begin();
  /// The control thread lives. @returns false when nobody watches any more: the fan must be stopped
  [[nodiscard]] bool beat();
  /// The last off is being written: takes longer than a tick where the device is slow.
  void stopping();
  /// Nothing more will be written. @param accepted  the device has taken off
  void done(bool accepted);
  void say_ready() { page_.is_ready.store(true); }

  /// That beat() has found the watchman gone.
  [[nodiscard]] bool is_cut() const { return is_cut_.load(); }
  [[nodiscard]] pid_t watchman_pid() const { return watchman_pid_; }

 private:
  [[nodiscard]] bool is_held(std::int64_t now_ns) const;

  Lifeline& page_;
  pid_t watchman_pid_;
  UniqueFd line_;
  std::atomic<bool> is_cut_ = false;
};

}  // namespace leeward::daemon
