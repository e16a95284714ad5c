#pragma once
/// The virtual rig: a simulated house behind a Modbus TCP server, in simulated time at a multiple of
/// the wall clock. One thread runs it.

#include "daemon/devices/modbus_responder.hpp"
#include "daemon/devices/modbus_server.hpp"
#include "daemon/rig/rig_bank.hpp"

namespace leeward::daemon {

class VirtualRig {
 public:
  /// @param speed  simulated seconds per second of the wall clock, above 0
  VirtualRig(UniqueFd listener, const sim::HouseSpec& house, double speed, std::uint64_t seed);

  void listen(RigBank::FanListener listener) { bank_.listen(std::move(listener)); }
  [[nodiscard]] int port() const { return server_.port(); }
  /// Until `wake_fd` can be read.
  void run(int wake_fd);

 private:
  BusReply handle(std::span<const std::uint8_t> request);
  void catch_up(SteadyTime now);

  RigBank bank_;
  ModbusResponder responder_;
  ModbusServer server_;
  std::chrono::nanoseconds period_;
  SteadyTime due_;
};

}  // namespace leeward::daemon
