#include "daemon/recorder/wake.hpp"

#include <poll.h>
#include <sys/eventfd.h>
#include <unistd.h>

#include <cstdint>

namespace leeward::daemon {

// Without an event descriptor (none left in the process) wait() still ends by its time: only the extra
// commits come later.
Wake::Wake() : fd_(eventfd(0, EFD_CLOEXEC | EFD_NONBLOCK)) {}

Wake::~Wake() {
  if (fd_ >= 0) close(fd_);
}

void Wake::ring() const {
  const std::uint64_t one = 1;
  // The only failure of a non-blocking event is that it is rung already.
  [[maybe_unused]] const ssize_t written = write(fd_, &one, sizeof one);
}

void Wake::wait(std::chrono::milliseconds time) const {
  pollfd waited{.fd = fd_, .events = POLLIN, .revents = 0};
  if (poll(&waited, 1, static_cast<int>(time.count())) <= 0) return;
  std::uint64_t count = 0;
  [[maybe_unused]] const ssize_t got = read(fd_, &count, sizeof count);
}

}  // namespace leeward::daemon
