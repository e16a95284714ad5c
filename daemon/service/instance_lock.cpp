#include "daemon/service/instance_lock.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

namespace leeward::daemon {
namespace {
std::string read_pid(int fd) {
  std::array<char, 32> text{};
  const ssize_t got = ::pread(fd, text.data(), text.size() - 1, 0);
  std::string pid(text.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
  while (!pid.empty() && pid.back() == '\n') pid.pop_back();
  return pid.empty() ? "unknown" : pid;
}
}  // namespace

control::Result<InstanceLock> InstanceLock::take(const std::string& socket_path) {
  const std::string path = socket_path + ".lock";
  const int fd = ::open(path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (fd < 0)
    return tl::unexpected(
        control::Error{control::Errc::io, "socket", "cannot open " + path + ": " + std::strerror(errno)});
  InstanceLock lock(fd);
  if (::flock(fd, LOCK_EX | LOCK_NB) != 0)
    return tl::unexpected(
        control::Error{control::Errc::busy, "socket",
                       "another daemon is running on " + socket_path + ", pid " + read_pid(fd)});
  const std::string pid = std::to_string(::getpid()) + "\n";
  const bool is_written =
      ::ftruncate(fd, 0) == 0 && ::pwrite(fd, pid.data(), pid.size(), 0) == static_cast<ssize_t>(pid.size());
  if (!is_written) return tl::unexpected(control::Error{control::Errc::io, "socket", "cannot write " + path});
  return lock;
}

InstanceLock::InstanceLock(InstanceLock&& other) noexcept : fd_(std::exchange(other.fd_, -1)) {}

InstanceLock::~InstanceLock() {
  // The file stays: removing it would let two daemons lock two files of the same name.
  if (fd_ >= 0) ::close(fd_);
}

}  // namespace leeward::daemon
