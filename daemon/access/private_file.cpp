#include "daemon/access/private_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <filesystem>

namespace leeward::daemon {
namespace {
using control::Errc;
using control::Error;

constexpr std::int64_t kNsPerSecond = 1'000'000'000;

tl::unexpected<Error> failed_to(const std::string& what, const std::string& path) {
  return tl::unexpected(Error{Errc::io, path, what + ": " + std::strerror(errno)});
}

bool write_all(int fd, std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(fd, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    text.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

PrivateFault fault_of(const struct stat& info) {
  if (S_ISLNK(info.st_mode)) return PrivateFault::is_link;
  if (!S_ISREG(info.st_mode)) return PrivateFault::not_a_file;
  if (info.st_uid != ::geteuid()) return PrivateFault::not_ours;
  return (info.st_mode & 077) != 0 ? PrivateFault::open_to_others : PrivateFault::none;
}
}  // namespace

PrivateFile private_file_state(const std::string& path) {
  struct stat info {};
  if (::lstat(path.c_str(), &info) != 0)
    return {.fault = errno == ENOENT ? PrivateFault::absent : PrivateFault::unreadable};
  return {.fault = fault_of(info),
          .changed_ns = info.st_mtim.tv_sec * kNsPerSecond + info.st_mtim.tv_nsec,
          .size = info.st_size,
          .inode = info.st_ino};
}

std::string private_fault_text(PrivateFault fault) {
  switch (fault) {
    case PrivateFault::absent:
      return "is not there";
    case PrivateFault::unreadable:
      return "cannot be read";
    case PrivateFault::is_link:
      return "is a symbolic link: name the file that it points to";
    case PrivateFault::not_a_file:
      return "is not a regular file";
    case PrivateFault::not_ours:
      return "belongs to another user";
    case PrivateFault::open_to_others:
      return "can be read by others: chmod 600 it";
    case PrivateFault::none:
      break;
  }
  return {};
}

control::Result<void> write_private_file(const std::string& path, std::string_view text) {
  const std::filesystem::path folder = std::filesystem::path(path).parent_path();
  std::error_code error;
  if (!folder.empty() && std::filesystem::create_directories(folder, error) && !error)
    std::filesystem::permissions(folder, std::filesystem::perms::owner_all, error);
  const std::string beside = path + ".new";
  ::unlink(beside.c_str());
  const int fd = ::open(beside.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0600);
  if (fd < 0) return failed_to("cannot be written", path);
  const bool is_written = write_all(fd, text) && ::fsync(fd) == 0;
  ::close(fd);
  if (!is_written || ::rename(beside.c_str(), path.c_str()) != 0) {
    auto failure = failed_to("cannot be written", path);
    ::unlink(beside.c_str());
    return failure;
  }
  return {};
}

control::Result<std::string> read_private_line(const std::string& path) {
  const PrivateFault fault = private_file_state(path).fault;
  if (fault != PrivateFault::none) {
    const bool is_missing = fault == PrivateFault::absent || fault == PrivateFault::unreadable;
    return tl::unexpected(Error{is_missing ? Errc::io : Errc::conflict, path, private_fault_text(fault)});
  }
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
  if (fd < 0) return failed_to("cannot be opened", path);
  std::array<char, 1024> bytes{};
  const ssize_t got = ::read(fd, bytes.data(), bytes.size());
  ::close(fd);
  if (got < 0) return failed_to("cannot be read", path);
  const std::string_view text(bytes.data(), static_cast<std::size_t>(got));
  return std::string(text.substr(0, text.find_first_of("\r\n")));
}

}  // namespace leeward::daemon
