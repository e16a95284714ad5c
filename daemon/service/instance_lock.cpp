#include "daemon/service/instance_lock.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

namespace leeward::daemon {
namespace {
using control::Errc;
using control::Error;

constexpr int kMostAttempts = 100;

/// The holder wrote its pid in the first line, its socket in the second.
std::pair<std::string, std::string> read_holder(int fd) {
  std::array<char, 512> bytes{};
  const ssize_t got = ::pread(fd, bytes.data(), bytes.size(), 0);
  const std::string text(bytes.data(), got > 0 ? static_cast<std::size_t>(got) : 0);
  const std::size_t end = text.find('\n');
  if (end == std::string::npos) return {};
  return {text.substr(0, end), text.substr(end + 1, text.find('\n', end + 1) - end - 1)};
}

Error busy(const LockSubject& subject, int fd) {
  const auto [pid, socket] = read_holder(fd);
  std::string text = "another daemon";
  if (!pid.empty()) text += " (pid " + pid + ", socket " + socket + ")";
  text += " " + subject.holds + ": end that one first";
  if (!pid.empty()) text += " (kill " + pid + " ends it in order)";
  return {Errc::busy, "lock", text + ", or " + subject.remedy};
}

/// Its holder may have removed the file between our opening and our locking it: then another is there now.
bool is_still_there(int fd, const std::string& path) {
  struct stat opened {};
  struct stat present {};
  return ::fstat(fd, &opened) == 0 && ::lstat(path.c_str(), &present) == 0 &&
         opened.st_ino == present.st_ino && opened.st_dev == present.st_dev;
}

/// For people only: on a full disk the lock counts all the same.
void write_holder(int fd, const std::string& owner) {
  const std::string text = std::to_string(::getpid()) + "\n" + owner + "\n";
  const bool is_written = ::ftruncate(fd, 0) == 0 && ::pwrite(fd, text.data(), text.size(), 0) > 0;
  static_cast<void>(is_written);
}
}  // namespace

control::Result<InstanceLock> InstanceLock::take(const LockSubject& subject, const std::string& owner) {
  for (int attempt = 0; attempt < kMostAttempts; ++attempt) {
    const int fd = ::open(subject.path.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0600);
    if (fd < 0)
      return tl::unexpected(
          Error{Errc::io, "lock", "cannot open " + subject.path + ": " + std::strerror(errno)});
    InstanceLock lock(fd, {});
    if (::flock(fd, LOCK_EX | LOCK_NB) != 0) {
      if (errno == EWOULDBLOCK) return tl::unexpected(busy(subject, fd));
      return tl::unexpected(
          Error{Errc::io, "lock", "cannot lock " + subject.path + ": " + std::strerror(errno)});
    }
    if (!is_still_there(fd, subject.path)) continue;
    lock.path_ = subject.path;
    write_holder(fd, owner);
    return lock;
  }
  return tl::unexpected(Error{Errc::io, "lock", "cannot lock " + subject.path + ": it comes and goes"});
}

InstanceLock::InstanceLock(InstanceLock&& other) noexcept
    : fd_(std::exchange(other.fd_, -1)), path_(std::exchange(other.path_, {})) {}

InstanceLock::~InstanceLock() {
  if (fd_ < 0) return;
  // While it is still locked: whoever has it open already finds out that it is gone.
  if (!path_.empty()) ::unlink(path_.c_str());
  ::close(fd_);
}

}  // namespace leeward::daemon
