#pragma once
/// The serving end of Modbus as a pure function: from a request and a bank of registers to the answer.

#include <optional>
#include <span>
#include <vector>

#include "daemon/config/rig_spec.hpp"
#include "daemon/devices/modbus_frame.hpp"

namespace leeward::daemon {

/// What a device shows as registers. Bits are words of 0 or 1.
class RegisterBank {
 public:
  virtual ~RegisterBank() = default;
  /// Nothing: there is no such register.
  [[nodiscard]] virtual std::optional<std::uint16_t> get(RegisterTable table, int address) const = 0;
  /// All the words of one request at once, so that no value is seen by halves.
  virtual ModbusException set(RegisterTable table, int address, std::span<const std::uint16_t> words) = 0;
};

/// What a request is about; `count` is 0 for a request that is malformed.
struct ModbusTarget {
  RegisterTable table = RegisterTable::input;
  int address = 0;
  int count = 0;
  bool writes = false;
};
/// @param pdu  function and data, without the header
/// @returns nothing for a function that we do not serve
[[nodiscard]] std::optional<ModbusTarget> target_of(std::span<const std::uint8_t> pdu);

/// @returns the whole frame of the answer, exceptions included
[[nodiscard]] std::vector<std::uint8_t> answer_request(RegisterBank& bank, const ModbusHeader& header,
                                                       std::span<const std::uint8_t> pdu);
[[nodiscard]] std::vector<std::uint8_t> exception_answer(const ModbusHeader& header, std::uint8_t function,
                                                         ModbusException exception);

}  // namespace leeward::daemon
