#pragma once
/// Only one daemon a socket: a lock on a file beside it, which the kernel lets go when the process ends.

#include <sys/types.h>
#include <string>

#include "control/result.hpp"

namespace leeward::daemon {

class InstanceLock {
 public:
  /// Errors   busy, naming the pid of the one that holds it; io
  [[nodiscard]] static control::Result<InstanceLock> take(const std::string& socket_path);
  InstanceLock(InstanceLock&& other) noexcept;
  InstanceLock& operator=(InstanceLock&&) = delete;
  ~InstanceLock();

 private:
  explicit InstanceLock(int fd) : fd_(fd) {}
  int fd_ = -1;
};

}  // namespace leeward::daemon
