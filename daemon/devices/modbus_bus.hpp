#pragma once
/// One Modbus TCP connection as a client. Every call ends by its own deadline, whatever comes over the
/// wire; that, and the check of the unit in the answer, is why the framing is ours: in libmodbus the
/// time-out holds per byte and not per call, and an answer of another unit passes.

#include <chrono>
#include <span>
#include <string>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/modbus_frame.hpp"
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
  [[nodiscard]] bool connected() const { return socket_.valid(); }
  void close() { socket_.reset(); }

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
    ModbusFunction function;
    int address;
    std::size_t pdu_bytes;
  };
  ModbusFrame new_frame(ModbusFunction function, int address);
  BusOutcome exchange(ModbusFrame& request, const Expected& expected);
  BusOutcome receive(const Expected& expected, SteadyTime deadline);
  BusOutcome fill(std::size_t wanted, const Expected& expected, SteadyTime deadline);
  BusOutcome judge(const Expected& expected);
  bool send_all(std::span<const std::uint8_t> bytes, SteadyTime deadline);
  BusOutcome state_of_the_line(const Expected& expected);
  BusOutcome fail(BusOutcome outcome, const Expected& expected, const std::string& why);

  std::string host_;
  int port_;
  std::uint8_t unit_;
  std::chrono::milliseconds timeout_;
  UniqueFd socket_;
  std::uint16_t transaction_ = 0;
  std::array<std::uint8_t, kMaxFrameBytes> answer_{};
  std::size_t received_ = 0;
  ModbusException exception_ = ModbusException::none;
  std::string last_error_;
};

}  // namespace leeward::daemon
