#include "daemon/devices/modbus_answer.hpp"

#include <utility>

namespace leeward::daemon {
namespace {

/// Function, address, count or value.
constexpr std::size_t kShortRequest = 5;
/// The same, and the number of data bytes.
constexpr std::size_t kLongPrefix = 6;
constexpr int kMaxBits = 2000;
constexpr int kMaxReadWords = 125;
constexpr int kMaxWriteWords = 123;
constexpr int kMaxWriteBits = 1968;

std::optional<RegisterTable> table_of(ModbusFunction function) {
  switch (function) {
    case ModbusFunction::read_coils:
    case ModbusFunction::write_coil:
    case ModbusFunction::write_coils:
      return RegisterTable::coil;
    case ModbusFunction::read_discrete:
      return RegisterTable::discrete;
    case ModbusFunction::read_holding:
    case ModbusFunction::write_register:
    case ModbusFunction::write_registers:
      return RegisterTable::holding;
    case ModbusFunction::read_input:
      return RegisterTable::input;
  }
  return std::nullopt;
}

bool is_bit_table(RegisterTable table) {
  return table == RegisterTable::coil || table == RegisterTable::discrete;
}

std::size_t data_bytes(RegisterTable table, int count) {
  return static_cast<std::size_t>(is_bit_table(table) ? (count + 7) / 8 : count * 2);
}

/// Whether count and length of a request for several agree.
bool well_formed(ModbusFunction function, std::span<const std::uint8_t> pdu, int count) {
  const bool bits = function == ModbusFunction::read_coils || function == ModbusFunction::read_discrete;
  const bool reads =
      bits || function == ModbusFunction::read_holding || function == ModbusFunction::read_input;
  if (count < 1) return false;
  if (reads) return pdu.size() == kShortRequest && count <= (bits ? kMaxBits : kMaxReadWords);
  const bool coils = function == ModbusFunction::write_coils;
  const std::size_t bytes = data_bytes(coils ? RegisterTable::coil : RegisterTable::holding, count);
  return count <= (coils ? kMaxWriteBits : kMaxWriteWords) && pdu.size() == kLongPrefix + bytes &&
         pdu[kShortRequest] == bytes;
}

std::vector<std::uint16_t> words_of(ModbusFunction function, std::span<const std::uint8_t> pdu, int count) {
  if (function == ModbusFunction::write_coil) return {static_cast<std::uint16_t>(get16(pdu, 3) != 0 ? 1 : 0)};
  if (function == ModbusFunction::write_register) return {get16(pdu, 3)};
  std::vector<std::uint16_t> words(static_cast<std::size_t>(count));
  const auto data = pdu.subspan(kLongPrefix);
  const bool coils = function == ModbusFunction::write_coils;
  for (std::size_t i = 0; i < words.size(); ++i)
    words[i] = coils ? static_cast<std::uint16_t>((data[i / 8] >> (i % 8)) & 1U) : get16(data, 2 * i);
  return words;
}

std::vector<std::uint8_t> sealed(ModbusFrame& frame) {
  frame.seal();
  return {frame.bytes().begin(), frame.bytes().end()};
}

std::vector<std::uint8_t> read_answer(const RegisterBank& bank, const ModbusHeader& header,
                                      const ModbusTarget& target, std::uint8_t function) {
  const std::size_t bytes = data_bytes(target.table, target.count);
  ModbusFrame frame(header.transaction, header.unit);
  frame.put8(function);
  frame.put8(static_cast<std::uint8_t>(bytes));
  std::uint8_t packed = 0;
  for (int i = 0; i < target.count; ++i) {
    const auto word = bank.get(target.table, target.address + i);
    if (!word) return exception_answer(header, function, ModbusException::illegal_address);
    if (!is_bit_table(target.table)) {
      frame.put16(*word);
      continue;
    }
    packed = static_cast<std::uint8_t>(packed | ((*word != 0 ? 1U : 0U) << (i % 8)));
    if (i % 8 == 7 || i == target.count - 1) frame.put8(std::exchange(packed, std::uint8_t{0}));
  }
  return sealed(frame);
}

}  // namespace

std::optional<ModbusTarget> target_of(std::span<const std::uint8_t> pdu) {
  if (pdu.empty()) return std::nullopt;
  const auto function = static_cast<ModbusFunction>(pdu[0]);
  const auto table = table_of(function);
  if (!table) return std::nullopt;
  const bool single = function == ModbusFunction::write_coil || function == ModbusFunction::write_register;
  ModbusTarget target{.table = *table, .writes = single || pdu[0] >= 15};
  if (pdu.size() < kShortRequest) return target;
  target.address = get16(pdu, 1);
  const int count = single ? 1 : get16(pdu, 3);
  const bool good = single ? pdu.size() == kShortRequest : well_formed(function, pdu, count);
  target.count = good ? count : 0;
  return target;
}

std::vector<std::uint8_t> answer_request(RegisterBank& bank, const ModbusHeader& header,
                                         std::span<const std::uint8_t> pdu) {
  const std::uint8_t function = pdu.empty() ? std::uint8_t{0} : pdu[0];
  const auto target = target_of(pdu);
  if (!target) return exception_answer(header, function, ModbusException::illegal_function);
  if (target->count == 0) return exception_answer(header, function, ModbusException::illegal_value);
  if (!target->writes) return read_answer(bank, header, *target, function);
  const auto words = words_of(static_cast<ModbusFunction>(function), pdu, target->count);
  const ModbusException exception = bank.set(target->table, target->address, words);
  if (exception != ModbusException::none) return exception_answer(header, function, exception);
  ModbusFrame frame(header.transaction, header.unit);
  for (const std::uint8_t byte : pdu.first(kShortRequest)) frame.put8(byte);
  return sealed(frame);
}

std::vector<std::uint8_t> exception_answer(const ModbusHeader& header, std::uint8_t function,
                                           ModbusException exception) {
  ModbusFrame frame(header.transaction, header.unit);
  frame.put8(function | kExceptionFlag);
  frame.put8(static_cast<std::uint8_t>(exception));
  return sealed(frame);
}

}  // namespace leeward::daemon
