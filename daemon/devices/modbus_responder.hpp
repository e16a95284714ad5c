#pragma once
/// The serving end of Modbus: from a request and a bank of registers to the answer, both as whole frames.
///
/// libmodbus does it, at one end of a pair of sockets of which we hold the other. So it never waits for a
/// client, and the bytes of an answer are in our hands: the virtual rig delays and spoils them.

#include <array>
#include <optional>
#include <span>
#include <vector>

#include "daemon/devices/modbus_context.hpp"
#include "daemon/devices/modbus_fields.hpp"
#include "daemon/devices/register_bank.hpp"

namespace leeward::daemon {

/// What a request is about; `count` is 0 where the frame is too short to tell.
struct ModbusTarget {
  RegisterTable table = RegisterTable::input;
  int address = 0;
  int count = 0;
  bool writes = false;
};
/// @returns nothing for a function that we do not serve
[[nodiscard]] std::optional<ModbusTarget> target_of(std::span<const std::uint8_t> frame);

/// Not thread-safe.
class ModbusResponder {
 public:
  using Frame = std::vector<std::uint8_t>;

  ModbusResponder();

  /// @param frame  of the length that its header announces
  /// @returns the answer, exceptions included; empty when there is none: to a function beyond 127, or
  ///          without the memory or descriptors that it takes
  [[nodiscard]] Frame answer(RegisterBank& bank, std::span<const std::uint8_t> frame);
  /// @returns the answer by this exception; empty as above
  [[nodiscard]] Frame refuse(std::span<const std::uint8_t> frame, ModbusException exception);

 private:
  bool take(std::span<const std::uint8_t> frame);
  Frame said();

  UniqueFd ours_;
  UniqueFd its_;
  ModbusContext context_;
  std::array<std::uint8_t, kMaxFrameBytes> request_{};
};

}  // namespace leeward::daemon
