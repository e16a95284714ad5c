#pragma once
/// One Modbus TCP connection as a client, spoken by libmodbus. Every call ends by its own deadline,
/// whatever comes over the wire.
///
/// Requests go out and answers come in by libmodbus's raw calls: those that it has for each function let
/// an answer of another unit pass, and do not hand out the header in which it could be seen. The price
/// is that every request is transaction 0. What that number guards against, an answer to an older
/// request, is kept out by never going on after a failure: the connection is closed, and before each
/// request the line must be silent.
///
/// The deadline is libmodbus's response time-out, with the byte time-out off: then, and only then, it
/// holds for the whole answer. (With one, each byte that comes starts it anew.)

#include <array>
#include <chrono>
#include <span>
#include <string>
#include <vector>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/modbus_context.hpp"
#include "daemon/devices/modbus_exception.hpp"
#include "daemon/devices/modbus_fields.hpp"
#include "daemon/devices/tcp_socket.hpp"

namespace leeward::daemon {

enum class BusOutcome : std::uint8_t {
  ok,
  refused,       ///< the device answered with a Modbus exception; the connection stays
  no_answer,     ///< nothing, or not all of it, by the deadline; closed
  bad_answer,    ///< an answer to something else, or no answer at all in form; closed
  not_connected  ///< there is no connection, or the device ended it
};

/// Not thread-safe: owned by one worker thread.
class ModbusBus {
 public:
  /// @param timeout  for a whole request, first byte to last
  ModbusBus(std::string host, int port, int unit, std::chrono::milliseconds timeout);

  /// Bounded by the deadline (but see connect_tcp for names).
  [[nodiscard]] bool connect(SteadyTime deadline);
  [[nodiscard]] bool connected() const { return context_ != nullptr; }
  void close();

  /// @param words  one a register, or one a bit
  [[nodiscard]] BusOutcome read(RegisterTable table, int address, std::span<std::uint16_t> words);
  /// Only coils and holding registers can be written: one coil, or 1 to 120 registers.
  [[nodiscard]] BusOutcome write(RegisterTable table, int address, std::span<const std::uint16_t> words);

  /// Of the last `refused`.
  [[nodiscard]] ModbusException exception() const { return exception_; }
  /// Names host, port and register; empty while nothing has failed.
  [[nodiscard]] const std::string& last_error() const { return last_error_; }

 private:
  struct Expected {
    int function;
    int address;
    std::size_t pdu_bytes;
  };
  /// Unit, function, data: all but the header.
  using RawRequest = std::vector<std::uint8_t>;
  [[nodiscard]] RawRequest new_request(int function, int address, std::size_t count_or_value) const;
  BusOutcome exchange(const RawRequest& request, const Expected& expected);
  BusOutcome state_of_the_line(const Expected& expected);
  BusOutcome judge_header(const Expected& expected, std::size_t received);
  BusOutcome judge(const Expected& expected, std::size_t received);
  BusOutcome fail_to_receive(const Expected& expected, int error);
  BusOutcome fail(BusOutcome outcome, const Expected& expected, const std::string& why);

  std::string host_;
  int port_;
  std::uint8_t unit_;
  std::chrono::milliseconds timeout_;
  UniqueFd socket_;
  ModbusContext context_;  ///< over socket_; there while connected
  std::array<std::uint8_t, kMaxFrameBytes> answer_{};
  ModbusException exception_ = ModbusException::none;
  std::string last_error_;
};

}  // namespace leeward::daemon
