#pragma once
/// What only one daemon may have: a lock on a file, which the kernel lets go when the process ends, however
/// it ends. A file that is left over locks nothing.

#include <string>

#include "control/result.hpp"

namespace leeward::daemon {

/// What is locked, in words for the one that comes second.
struct LockSubject {
  std::string path;    ///< of the lock file
  std::string holds;   ///< what the holder does: "already listens on /run/leeward/api.sock"
  std::string remedy;  ///< what else the second one may do: "give this one another --socket"
};

class InstanceLock {
 public:
  /// @param owner  how the holder is known beside its pid: the path of its socket
  /// Errors   busy, naming the holder and what to do; io
  [[nodiscard]] static control::Result<InstanceLock> take(const LockSubject& subject,
                                                          const std::string& owner);
  InstanceLock(InstanceLock&& other) noexcept;
  InstanceLock& operator=(InstanceLock&&) = delete;
  ~InstanceLock();

 private:
  InstanceLock(int fd, std::string path) : fd_(fd), path_(std::move(path)) {}
  int fd_ = -1;
  std::string path_;
};

}  // namespace leeward::daemon
