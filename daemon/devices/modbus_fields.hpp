#pragma once
/// Where the fields of a Modbus TCP frame lie. libmodbus makes and takes the frames; these are for the
/// looks that it does not take itself: the unit of an answer, and the length that a frame announces.
/// Source: MODBUS Messaging on TCP/IP V1.0b (from memory).

#include <cstddef>
#include <cstdint>
#include <span>

namespace leeward::daemon {

inline constexpr std::size_t kTransactionAt = 0;
inline constexpr std::size_t kProtocolAt = 2;
inline constexpr std::size_t kLengthAt = 4;  ///< bytes that follow, unit included
inline constexpr std::size_t kUnitAt = 6;
inline constexpr std::size_t kFunctionAt = 7;
inline constexpr std::size_t kMaxFrameBytes = 260;

/// The function of an answer by exception is that of the request and this bit.
inline constexpr std::uint8_t kExceptionFlag = 0x80;

[[nodiscard]] inline std::uint16_t word_at(std::span<const std::uint8_t> bytes, std::size_t at) {
  return static_cast<std::uint16_t>((bytes[at] << 8U) | bytes[at + 1]);
}

}  // namespace leeward::daemon
