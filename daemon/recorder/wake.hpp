#pragma once
/// Wakes a thread that waits, without ever holding up the one that wakes it.

#include <chrono>

namespace leeward::daemon {

class Wake {
 public:
  Wake();
  ~Wake();
  Wake(const Wake&) = delete;
  Wake& operator=(const Wake&) = delete;

  /// Any thread. Never blocks; several before the next wait() count as one.
  void ring() const;
  /// Returns when rung, or after `time`.
  void wait(std::chrono::milliseconds time) const;

 private:
  int fd_ = -1;
};

}  // namespace leeward::daemon
