#include "daemon/devices/tcp_socket.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <netdb.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <memory>

namespace leeward::daemon {
namespace {

using AddressList = std::unique_ptr<addrinfo, decltype(&freeaddrinfo)>;

control::Error failure(const std::string& host, int port, const std::string& why) {
  return {control::Errc::device, "host", host + ":" + std::to_string(port) + ": " + why};
}

AddressList look_up(const std::string& host, int port, int flags, int& error) {
  addrinfo hints{};
  hints.ai_family = AF_UNSPEC;
  hints.ai_socktype = SOCK_STREAM;
  hints.ai_flags = flags | AI_NUMERICSERV;
  addrinfo* found = nullptr;
  error = getaddrinfo(host.c_str(), std::to_string(port).c_str(), &hints, &found);
  return {error == 0 ? found : nullptr, &freeaddrinfo};
}

UniqueFd open_socket(const addrinfo& address) {
  return UniqueFd(::socket(address.ai_family, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0));
}

/// @returns 0 when connected, else the errno
int connect_one(const UniqueFd& fd, const addrinfo& address, SteadyTime deadline) {
  if (::connect(fd.get(), address.ai_addr, address.ai_addrlen) == 0) return 0;
  if (errno != EINPROGRESS) return errno;
  if (!wait_for(fd.get(), POLLOUT, deadline)) return ETIMEDOUT;
  int error = 0;
  socklen_t size = sizeof error;
  if (::getsockopt(fd.get(), SOL_SOCKET, SO_ERROR, &error, &size) != 0) return errno;
  return error;
}

}  // namespace

control::Result<UniqueFd> connect_tcp(const std::string& host, int port, SteadyTime deadline) {
  int error = 0;
  AddressList list = look_up(host, port, AI_NUMERICHOST, error);
  if (!list) list = look_up(host, port, 0, error);
  if (!list) return tl::unexpected(failure(host, port, gai_strerror(error)));
  int why = ECONNREFUSED;
  for (const addrinfo* address = list.get(); address != nullptr; address = address->ai_next) {
    UniqueFd fd = open_socket(*address);
    if (!fd.valid()) return tl::unexpected(failure(host, port, std::strerror(errno)));
    why = connect_one(fd, *address, deadline);
    if (why != 0) continue;
    no_delay(fd);
    return fd;
  }
  return tl::unexpected(failure(host, port, std::strerror(why)));
}

std::string numeric_host(const std::string& host, int port) {
  int error = 0;
  if (look_up(host, port, AI_NUMERICHOST, error)) return host;
  const AddressList list = look_up(host, port, 0, error);
  std::array<char, NI_MAXHOST> text{};
  const bool is_known = list && ::getnameinfo(list->ai_addr, list->ai_addrlen, text.data(), text.size(),
                                              nullptr, 0, NI_NUMERICHOST) == 0;
  return is_known ? std::string(text.data()) : host;
}

control::Result<UniqueFd> listen_tcp(const std::string& host, int port) {
  int error = 0;
  const AddressList list = look_up(host, port, AI_PASSIVE, error);
  if (!list) return tl::unexpected(failure(host, port, gai_strerror(error)));
  UniqueFd fd = open_socket(*list);
  const int on = 1;
  if (!fd.valid() || ::setsockopt(fd.get(), SOL_SOCKET, SO_REUSEADDR, &on, sizeof on) != 0 ||
      ::bind(fd.get(), list->ai_addr, list->ai_addrlen) != 0 || ::listen(fd.get(), SOMAXCONN) != 0)
    return tl::unexpected(failure(host, port, std::strerror(errno)));
  return fd;
}

int local_port(const UniqueFd& socket) {
  sockaddr_storage address{};
  socklen_t size = sizeof address;
  if (::getsockname(socket.get(), reinterpret_cast<sockaddr*>(&address), &size) != 0) return 0;
  if (address.ss_family == AF_INET6) return ntohs(reinterpret_cast<const sockaddr_in6*>(&address)->sin6_port);
  return ntohs(reinterpret_cast<const sockaddr_in*>(&address)->sin_port);
}

void no_delay(const UniqueFd& socket) {
  const int on = 1;
  ::setsockopt(socket.get(), IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
}

bool wait_for(int fd, short events, SteadyTime deadline) {
  while (true) {
    const auto left = std::chrono::nanoseconds(deadline - std::chrono::steady_clock::now());
    const auto ns = std::max<std::int64_t>(left.count(), 0);
    const timespec limit{.tv_sec = ns / 1'000'000'000, .tv_nsec = ns % 1'000'000'000};
    pollfd entry{.fd = fd, .events = events, .revents = 0};
    const int ready = ::ppoll(&entry, 1, &limit, nullptr);
    if (ready > 0) return true;
    if (ready == 0 || errno != EINTR) return false;
  }
}

}  // namespace leeward::daemon
