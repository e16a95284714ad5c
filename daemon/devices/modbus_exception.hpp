#pragma once
/// The reasons by which a Modbus device refuses a request.

#include <cstdint>

namespace leeward::daemon {

/// The numbers are those of the protocol.
enum class ModbusException : std::uint8_t {
  none = 0,
  illegal_function = 1,
  illegal_address = 2,
  illegal_value = 3,
  failure = 4
};

}  // namespace leeward::daemon
