#pragma once
/// The one face of whatever sits at the other end of the wire. The device owns time: it paces the
/// control thread and stamps the samples.

#include "control/ask.hpp"
#include "control/command.hpp"
#include "control/sample.hpp"
#include "daemon/devices/device_health.hpp"

namespace leeward::daemon {

class Device {
 public:
  virtual ~Device() = default;

  /// Blocks until the next sample is due, or until wake(). Never longer than one sample period plus
  /// scheduling: what has not arrived by then is a sample with absent readings and a device status.
  /// After wake() it returns at once with `out_of_turn` set and no readings, stamped now.
  [[nodiscard]] virtual control::Sample next_sample() = 0;

  /// Hands the command of the tick to the device. Written every tick, changed or not; off is demand 0,
  /// then enable 0; start is enable, then demand. Does not wait for the bus.
  virtual void write(const control::Command& command) = 0;

  /// From any thread: lets next_sample() return out of turn.
  virtual void wake() = 0;

  /// Writes off, waits a bounded time for the device to take it, and closes. Idempotent.
  /// @returns whether the device accepted off
  virtual bool shut_down() = 0;

  /// The crew has answered an ask. Only a simulated device acts on it: its crew is simulated too.
  virtual void crew_did(const control::Ask& ask) { (void)ask; }

  /// From any thread: how the wire has been. Decides nothing.
  [[nodiscard]] virtual DeviceHealth health() const { return {.connected = true}; }
};

}  // namespace leeward::daemon
