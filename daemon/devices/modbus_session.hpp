#pragma once
/// What is said over the bus: connecting with the fan off, reading all channels, writing commands in
/// the safe order. No thread of its own; a worker thread owns it.

#include <optional>

#include "control/command.hpp"
#include "control/sample.hpp"
#include "daemon/devices/back_off.hpp"
#include "daemon/devices/device_health.hpp"
#include "daemon/devices/modbus_bus.hpp"
#include "daemon/devices/register_plan.hpp"

namespace leeward::daemon {

/// What one reading of all channels gave; stamps are set by whoever keeps the time.
struct Polled {
  control::Sample sample;
  std::optional<std::uint64_t> count;  ///< of the sample counter, where it was read
};

class ModbusSession {
 public:
  /// @param timeout  of one request
  ModbusSession(const ModbusSpec& spec, std::chrono::milliseconds timeout);

  [[nodiscard]] bool counted() const { return plan_.counter.has_value(); }
  [[nodiscard]] std::uint64_t count_modulus() const;
  [[nodiscard]] bool connected() const { return bus_.connected(); }
  /// When a lost connection may be tried again.
  [[nodiscard]] SteadyTime retry_at() const { return retry_at_; }

  /// Connects where that is due. The first act on every connection is off, then the device time-outs.
  [[nodiscard]] bool ensure_connected(SteadyTime now);

  /// Reads every channel; a connection that is lost on the way is mended once, where back-off allows.
  [[nodiscard]] Polled read_all();
  /// As read_all, but stops after the block of the counter when that still stands at `last`.
  [[nodiscard]] Polled read_if_counted(std::optional<std::uint64_t> last);

  /// Off: demand 0, then enable 0. Drive: enable 1, then demand. Holding the last is resolved before.
  /// @returns whether the device took all of it
  [[nodiscard]] bool write(const control::Command& command);

  /// Off as the last act; connects for it if need be. @returns whether the device took it
  [[nodiscard]] bool final_off(SteadyTime deadline);

  [[nodiscard]] const DeviceHealth& health() const { return health_; }

 private:
  bool connect(SteadyTime deadline);
  void note(BusOutcome outcome);
  bool write_value(const std::optional<ChannelSpec>& channel, double value);
  bool write_fan(const FanOutputs& outputs, const control::FanCommand& command);
  Polled read_once(std::optional<std::uint64_t> last);
  BusOutcome read_block(std::size_t index, Polled& polled);
  void split(std::size_t index);

  RegisterPlan plan_;
  double fan_timeout_s_;
  ModbusBus bus_;
  BackOff back_off_;
  SteadyTime retry_at_{};
  DeviceHealth health_;
};

}  // namespace leeward::daemon
