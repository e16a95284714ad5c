#pragma once
/// The connections of the serving end of Modbus TCP: one thread, one poll loop, several clients, none of
/// which can hold up another. It cuts their bytes into frames by the length that each announces, and no
/// more: libmodbus, which would wait at the socket of a client that has sent half a request, only ever
/// gets whole ones (see ModbusResponder). What is answered, when and how badly, is the handler's business.

#include <cstdint>
#include <deque>
#include <functional>
#include <list>
#include <span>
#include <vector>

#include "daemon/devices/tcp_socket.hpp"

namespace leeward::daemon {

/// Bytes for a client at a time of their own.
struct TimedBytes {
  SteadyTime at{};  ///< not before; the default is now
  std::vector<std::uint8_t> bytes;
  bool then_close = false;
};
using BusReply = std::vector<TimedBytes>;  ///< in order of time; empty: no answer

class ModbusServer {
 public:
  /// @param frame  a request of the length that its header announces, function included
  using Handler = std::function<BusReply(std::span<const std::uint8_t> frame)>;

  /// When all places are taken, the client that has been silent longest makes room: a connection whose
  /// other end has vanished must not lock the others out.
  static constexpr std::size_t kMaxClients = 32;

  ModbusServer(UniqueFd listener, Handler handler);
  [[nodiscard]] int port() const { return local_port(listener_); }

  /// Serves whatever comes, until `until` or until `wake_fd` can be read.
  /// @returns whether `wake_fd` can be read
  bool serve_until(SteadyTime until, int wake_fd);

 private:
  struct Client {
    UniqueFd socket;
    std::vector<std::uint8_t> input;
    std::deque<TimedBytes> output;
    SteadyTime active_at{};
    bool broken = false;
  };
  void accept_all();
  void read_from(Client& client);
  void take_frames(Client& client);
  void write_to(Client& client);
  [[nodiscard]] SteadyTime next_output() const;

  UniqueFd listener_;
  Handler handler_;
  std::list<Client> clients_;
};

}  // namespace leeward::daemon
