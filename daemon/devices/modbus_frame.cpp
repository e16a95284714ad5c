#include "daemon/devices/modbus_frame.hpp"

namespace leeward::daemon {

ModbusFrame::ModbusFrame(std::uint16_t transaction, std::uint8_t unit) {
  put16(transaction);
  put16(0);
  put16(0);
  put8(unit);
}

void ModbusFrame::put8(std::uint8_t v) {
  if (size_ < bytes_.size()) bytes_[size_++] = v;
}

void ModbusFrame::put16(std::uint16_t v) {
  put8(static_cast<std::uint8_t>(v >> 8U));
  put8(static_cast<std::uint8_t>(v & 0xFFU));
}

void ModbusFrame::seal() {
  const std::size_t follows = size_ - (kHeaderBytes - 1);
  bytes_[4] = static_cast<std::uint8_t>(follows >> 8U);
  bytes_[5] = static_cast<std::uint8_t>(follows & 0xFFU);
}

std::optional<ModbusHeader> parse_header(std::span<const std::uint8_t> bytes) {
  if (bytes.size() < kHeaderBytes) return std::nullopt;
  return ModbusHeader{get16(bytes, 0), get16(bytes, 2), get16(bytes, 4), bytes[6]};
}

bool plausible(const ModbusHeader& header) {
  return header.protocol == 0 && header.length >= 2 && header.length <= kMaxPduBytes + 1;
}

}  // namespace leeward::daemon
