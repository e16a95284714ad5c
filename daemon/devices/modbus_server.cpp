#include "daemon/devices/modbus_server.hpp"

#include <poll.h>
#include <sys/socket.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <optional>
#include <utility>

#include "daemon/devices/modbus_fields.hpp"

namespace leeward::daemon {
namespace {

using std::chrono::steady_clock;

/// A client that asks on and on and reads nothing is let go.
constexpr std::size_t kMaxOutput = 1024;

/// @returns the length of the frame in front, 0 while that can't be told, nothing for garbage: another
///          protocol, or a length that no frame has
std::optional<std::size_t> frame_bytes(std::span<const std::uint8_t> input) {
  if (input.size() < kFunctionAt) return 0;
  const std::size_t bytes = kUnitAt + word_at(input, kLengthAt);
  if (word_at(input, kProtocolAt) != 0 || bytes <= kFunctionAt || bytes > kMaxFrameBytes) return std::nullopt;
  return bytes;
}

bool would_block() { return errno == EAGAIN || errno == EINTR; }

}  // namespace

ModbusServer::ModbusServer(UniqueFd listener, Handler handler)
    : listener_(std::move(listener)), handler_(std::move(handler)) {}

bool ModbusServer::serve_until(SteadyTime until, int wake_fd) {
  while (true) {
    std::vector<pollfd> entries{{listener_.get(), POLLIN, 0}, {wake_fd, POLLIN, 0}};
    const SteadyTime now = steady_clock::now();
    for (const Client& client : clients_) {
      const bool sends = !client.output.empty() && client.output.front().at <= now;
      entries.push_back({client.socket.get(), static_cast<short>(sends ? POLLIN | POLLOUT : POLLIN), 0});
    }
    const auto wait = std::max(std::min(until, next_output()) - now, steady_clock::duration::zero());
    const auto ns = std::chrono::nanoseconds(wait).count();
    const timespec limit{.tv_sec = ns / 1'000'000'000, .tv_nsec = ns % 1'000'000'000};
    (void)::ppoll(entries.data(), entries.size(), &limit, nullptr);
    std::size_t i = 2;
    for (Client& client : clients_) {
      const short events = entries[i++].revents;
      if ((events & (POLLIN | POLLHUP | POLLERR)) != 0) read_from(client);
      write_to(client);
    }
    clients_.remove_if([](const Client& c) { return c.broken; });
    if ((entries[0].revents & POLLIN) != 0) accept_all();
    if ((entries[1].revents & POLLIN) != 0) return true;
    if (steady_clock::now() >= until) return false;
  }
}

SteadyTime ModbusServer::next_output() const {
  SteadyTime next = SteadyTime::max();
  for (const Client& client : clients_)
    // What is due already waits for room in the socket, which poll tells.
    if (!client.output.empty() && client.output.front().at > steady_clock::now())
      next = std::min(next, client.output.front().at);
  return next;
}

void ModbusServer::accept_all() {
  while (true) {
    UniqueFd socket(::accept4(listener_.get(), nullptr, nullptr, SOCK_NONBLOCK | SOCK_CLOEXEC));
    if (!socket.valid()) return;
    no_delay(socket);
    if (clients_.size() >= kMaxClients)
      clients_.erase(std::ranges::min_element(clients_, {}, &Client::active_at));
    Client client;
    client.socket = std::move(socket);
    client.active_at = steady_clock::now();
    clients_.push_back(std::move(client));
  }
}

void ModbusServer::read_from(Client& client) {
  std::array<std::uint8_t, kMaxFrameBytes> bytes{};
  const ssize_t n = ::recv(client.socket.get(), bytes.data(), bytes.size(), 0);
  if (n <= 0) {
    client.broken = n == 0 || !would_block();
    return;
  }
  client.active_at = steady_clock::now();
  client.input.insert(client.input.end(), bytes.begin(), bytes.begin() + n);
  take_frames(client);
}

void ModbusServer::take_frames(Client& client) {
  while (true) {
    const auto bytes = frame_bytes(client.input);
    if (!bytes || client.output.size() > kMaxOutput) {
      client.broken = true;
      return;
    }
    if (*bytes == 0 || client.input.size() < *bytes) return;
    for (TimedBytes& part : handler_(std::span(client.input).first(*bytes)))
      client.output.push_back(std::move(part));
    client.input.erase(client.input.begin(), client.input.begin() + static_cast<std::ptrdiff_t>(*bytes));
  }
}

void ModbusServer::write_to(Client& client) {
  while (!client.broken && !client.output.empty() && client.output.front().at <= steady_clock::now()) {
    TimedBytes& part = client.output.front();
    while (!part.bytes.empty()) {
      const ssize_t n = ::send(client.socket.get(), part.bytes.data(), part.bytes.size(), MSG_NOSIGNAL);
      if (n < 0) {
        client.broken = !would_block();
        return;
      }
      part.bytes.erase(part.bytes.begin(), part.bytes.begin() + n);
    }
    client.broken = part.then_close;
    client.output.pop_front();
  }
}

}  // namespace leeward::daemon
