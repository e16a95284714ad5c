#pragma once
/// Modbus TCP as bytes: the header and the few functions that we use. Pure, and shared by the bus and
/// the virtual rig; both are tested against an independent library at the other end.
/// Source: MODBUS Application Protocol V1.1b3 and MODBUS Messaging on TCP/IP V1.0b (from memory).

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>

namespace leeward::daemon {

inline constexpr std::size_t kHeaderBytes = 7;  ///< transaction, protocol, length, unit
inline constexpr std::size_t kMaxPduBytes = 253;
inline constexpr std::size_t kMaxFrameBytes = kHeaderBytes + kMaxPduBytes;

enum class ModbusFunction : std::uint8_t {
  read_coils = 1,
  read_discrete = 2,
  read_holding = 3,
  read_input = 4,
  write_coil = 5,
  write_register = 6,
  write_coils = 15,
  write_registers = 16
};
inline constexpr std::uint8_t kExceptionFlag = 0x80;

enum class ModbusException : std::uint8_t {
  none = 0,
  illegal_function = 1,
  illegal_address = 2,
  illegal_value = 3,
  failure = 4
};

struct ModbusHeader {
  std::uint16_t transaction = 0;
  std::uint16_t protocol = 0;
  std::uint16_t length = 0;  ///< bytes that follow, unit included
  std::uint8_t unit = 0;
};

/// Bytes of one frame, in place.
class ModbusFrame {
 public:
  ModbusFrame() = default;
  ModbusFrame(std::uint16_t transaction, std::uint8_t unit);
  void put8(std::uint8_t v);
  void put16(std::uint16_t v);
  /// Writes the length into the header; call it last.
  void seal();
  [[nodiscard]] std::span<const std::uint8_t> bytes() const { return {bytes_.data(), size_}; }
  [[nodiscard]] std::span<std::uint8_t> bytes() { return {bytes_.data(), size_}; }
  [[nodiscard]] std::size_t size() const { return size_; }

 private:
  std::array<std::uint8_t, kMaxFrameBytes> bytes_{};
  std::size_t size_ = 0;
};

[[nodiscard]] inline std::uint16_t get16(std::span<const std::uint8_t> bytes, std::size_t at) {
  return static_cast<std::uint16_t>((bytes[at] << 8U) | bytes[at + 1]);
}

/// @returns nothing while fewer than kHeaderBytes are there
[[nodiscard]] std::optional<ModbusHeader> parse_header(std::span<const std::uint8_t> bytes);

/// A header that can only be garbage: other protocol, or a length that no frame has.
[[nodiscard]] bool plausible(const ModbusHeader& header);

}  // namespace leeward::daemon
