#include "daemon/config/text_file.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>

namespace leeward::daemon {
namespace {

constexpr const char* kTooLarge = "the file is larger than 1 MB; a file of ours is a few kB";

class OpenFile {
 public:
  // Non-blocking, so that a pipe without a writer cannot hold us at the door.
  explicit OpenFile(const std::string& path) : fd_(::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK)) {}
  OpenFile(const OpenFile&) = delete;
  OpenFile& operator=(const OpenFile&) = delete;
  ~OpenFile() {
    if (fd_ >= 0) ::close(fd_);
  }
  [[nodiscard]] int fd() const { return fd_; }

 private:
  int fd_;
};

std::string open_error(int error_number) {
  if (error_number == ENOENT || error_number == ENOTDIR) return "no such file";
  return std::string("cannot be read: ") + std::strerror(error_number);
}

std::string not_regular(const struct stat& info) {
  if (S_ISDIR(info.st_mode)) return "is a directory; name a .toml file in it";
  return "is not a regular file";
}

/// Bytes of the UTF-8 sequence that starts here, 0 where there is none. Overlong forms, surrogates and
/// values beyond U+10FFFF are none.
std::size_t utf8_length(std::string_view s) {
  const auto byte = [&](std::size_t i) { return i < s.size() ? static_cast<unsigned char>(s[i]) : 0U; };
  const auto tail = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const unsigned b0 = byte(0);
  const unsigned b1 = byte(1);
  if (b0 < 0x80U) return 1;
  if (b0 >= 0xC2U && b0 <= 0xDFU) return tail(1) ? 2 : 0;
  if (b0 >= 0xE0U && b0 <= 0xEFU) {
    if (!tail(1) || !tail(2)) return 0;
    return (b0 == 0xE0U && b1 < 0xA0U) || (b0 == 0xEDU && b1 > 0x9FU) ? 0 : 3;
  }
  if (b0 >= 0xF0U && b0 <= 0xF4U) {
    if (!tail(1) || !tail(2) || !tail(3)) return 0;
    return (b0 == 0xF0U && b1 < 0x90U) || (b0 == 0xF4U && b1 > 0x8FU) ? 0 : 4;
  }
  return 0;
}

bool is_forbidden_control(unsigned char c) {
  return (c < 0x20 && c != '\t' && c != '\n' && c != '\r') || c == 0x7F;
}

std::string byte_text(unsigned char c) {
  std::array<char, 8> hex{};
  std::snprintf(hex.data(), hex.size(), "0x%02X", static_cast<unsigned>(c));
  return hex.data();
}

}  // namespace

std::optional<std::string> read_text_file(const std::string& path, Findings& findings) {
  const auto fail = [&](std::string text) {
    findings.error(0, 0, "", std::move(text));
    return std::nullopt;
  };
  const OpenFile file(path);
  if (file.fd() < 0) return fail(open_error(errno));
  struct stat info {};
  if (::fstat(file.fd(), &info) != 0) return fail(open_error(errno));
  if (!S_ISREG(info.st_mode)) return fail(not_regular(info));
  if (static_cast<std::size_t>(info.st_size) > kMostFileBytes) return fail(kTooLarge);

  std::string text;
  std::array<char, 65536> buffer;
  while (text.size() <= kMostFileBytes) {
    const ssize_t got = ::read(file.fd(), buffer.data(), buffer.size());
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return fail(open_error(errno));
    if (got == 0) break;
    text.append(buffer.data(), static_cast<std::size_t>(got));
  }
  if (!check_text(text, findings)) return std::nullopt;
  return text;
}

bool check_text(std::string_view text, Findings& findings) {
  if (text.size() > kMostFileBytes) {
    findings.error(0, 0, "", kTooLarge);
    return false;
  }
  int line = 1;
  int column = 1;
  for (std::size_t i = 0; i < text.size();) {
    const auto c = static_cast<unsigned char>(text[i]);
    if (is_forbidden_control(c)) {
      findings.error(line, column, "",
                     "control byte " + byte_text(c) + "; only text, tabs and line ends are allowed");
      return false;
    }
    const std::size_t length = utf8_length(text.substr(i));
    if (length == 0) {
      findings.error(line, column, "", "byte " + byte_text(c) + " is not UTF-8; save the file as UTF-8");
      return false;
    }
    i += length;
    column = c == '\n' ? 1 : column + 1;
    if (c == '\n') ++line;
  }
  return true;
}

}  // namespace leeward::daemon
