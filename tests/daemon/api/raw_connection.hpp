#pragma once
/// A client that sends exactly the bytes it is told to, over a Unix socket or TCP on this machine.

#include <arpa/inet.h>
#include <poll.h>
#include <sys/socket.h>
#include <sys/un.h>
#include <unistd.h>

#include <cstring>
#include <string>

namespace leeward::daemon {

class RawConnection {
 public:
  explicit RawConnection(const std::string& socket_path)
      : fd_(::socket(AF_UNIX, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, socket_path.c_str(), sizeof address.sun_path - 1);
    (void)::connect(fd_, reinterpret_cast<const sockaddr*>(&address), sizeof address);
  }
  explicit RawConnection(int tcp_port) : fd_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(static_cast<std::uint16_t>(tcp_port));
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    (void)::connect(fd_, reinterpret_cast<const sockaddr*>(&address), sizeof address);
  }
  ~RawConnection() { ::close(fd_); }
  RawConnection(const RawConnection&) = delete;
  RawConnection& operator=(const RawConnection&) = delete;

  /// @returns false when the peer has closed before all was sent
  bool send(const std::string& bytes) const {
    std::size_t sent = 0;
    while (sent < bytes.size()) {
      const ssize_t n = ::send(fd_, bytes.data() + sent, bytes.size() - sent, MSG_NOSIGNAL);
      if (n <= 0) return false;
      sent += static_cast<std::size_t>(n);
    }
    return true;
  }
  /// Reads until `part` was seen, the peer closed, or nothing came for 10 s.
  std::string read_until(const std::string& part) const {
    std::string got;
    char bytes[4096];
    while (got.find(part) == std::string::npos) {
      pollfd waiting{fd_, POLLIN, 0};
      if (::poll(&waiting, 1, 10'000) <= 0) break;
      const ssize_t n = ::recv(fd_, bytes, sizeof bytes, 0);
      is_closed_ = n <= 0;
      if (is_closed_) break;
      got.append(bytes, static_cast<std::size_t>(n));
    }
    return got;
  }
  /// Reads until the peer closes.
  [[nodiscard]] std::string read_all() const { return read_until(std::string(1, '\0') + "never"); }

  /// The last read ended because the peer had closed.
  [[nodiscard]] bool is_closed() const { return is_closed_; }

 private:
  int fd_;
  mutable bool is_closed_ = false;
};

}  // namespace leeward::daemon
