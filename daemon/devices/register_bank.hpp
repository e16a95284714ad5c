#pragma once
/// What a device shows as registers.

#include <cstdint>
#include <optional>
#include <span>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/modbus_exception.hpp"

namespace leeward::daemon {

/// Bits are words of 0 or 1.
class RegisterBank {
 public:
  virtual ~RegisterBank() = default;
  /// Nothing: there is no such register.
  [[nodiscard]] virtual std::optional<std::uint16_t> get(RegisterTable table, int address) const = 0;
  /// All the words of one request at once, so that no value is seen by halves.
  virtual ModbusException set(RegisterTable table, int address, std::span<const std::uint16_t> words) = 0;
};

}  // namespace leeward::daemon
