#include "daemon/devices/modbus_bus.hpp"

#include <poll.h>
#include <sys/socket.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace leeward::daemon {
namespace {

using std::chrono::steady_clock;

ModbusFunction read_function(RegisterTable table) {
  switch (table) {
    case RegisterTable::coil:
      return ModbusFunction::read_coils;
    case RegisterTable::discrete:
      return ModbusFunction::read_discrete;
    case RegisterTable::holding:
      return ModbusFunction::read_holding;
    case RegisterTable::input:
      break;
  }
  return ModbusFunction::read_input;
}

bool is_bits(RegisterTable table) { return table == RegisterTable::coil || table == RegisterTable::discrete; }

/// Function, byte count, data.
constexpr std::size_t kReadPrefix = 2;
/// Function, address, value or count: the whole answer to a write.
constexpr std::size_t kWriteAnswer = 5;

void unpack(RegisterTable table, std::span<const std::uint8_t> data, std::span<std::uint16_t> words) {
  for (std::size_t i = 0; i < words.size(); ++i)
    words[i] =
        is_bits(table) ? static_cast<std::uint16_t>((data[i / 8] >> (i % 8)) & 1U) : get16(data, 2 * i);
}

}  // namespace

ModbusBus::ModbusBus(std::string host, int port, int unit, std::chrono::milliseconds timeout)
    : host_(std::move(host)), port_(port), unit_(static_cast<std::uint8_t>(unit)), timeout_(timeout) {}

bool ModbusBus::connect(SteadyTime deadline) {
  auto socket = connect_tcp(host_, port_, deadline);
  if (!socket) {
    last_error_ = socket.error().text;
    return false;
  }
  socket_ = std::move(*socket);
  return true;
}

BusOutcome ModbusBus::read(RegisterTable table, int address, std::span<std::uint16_t> words) {
  const std::size_t data = is_bits(table) ? (words.size() + 7) / 8 : words.size() * 2;
  const Expected expected{read_function(table), address, kReadPrefix + data};
  if (data == 0 || data > kMaxPduBytes - kReadPrefix) return BusOutcome::refused;
  ModbusFrame request = new_frame(expected.function, address);
  request.put16(static_cast<std::uint16_t>(words.size()));
  const BusOutcome outcome = exchange(request, expected);
  if (outcome != BusOutcome::ok) return outcome;
  if (answer_[kHeaderBytes + 1] != data) return fail(BusOutcome::bad_answer, expected, "wrong byte count");
  unpack(table, std::span(answer_).subspan(kHeaderBytes + kReadPrefix, data), words);
  return BusOutcome::ok;
}

BusOutcome ModbusBus::write(RegisterTable table, int address, std::span<const std::uint16_t> words) {
  if (words.empty() || words.size() > 120) return BusOutcome::refused;
  const bool coil = table == RegisterTable::coil;
  const bool several = !coil && words.size() > 1;
  const Expected expected{coil      ? ModbusFunction::write_coil
                          : several ? ModbusFunction::write_registers
                                    : ModbusFunction::write_register,
                          address, kWriteAnswer};
  ModbusFrame request = new_frame(expected.function, address);
  if (several) {
    request.put16(static_cast<std::uint16_t>(words.size()));
    request.put8(static_cast<std::uint8_t>(words.size() * 2));
    for (const std::uint16_t word : words) request.put16(word);
  } else {
    constexpr std::uint16_t coil_on = 0xFF00;
    request.put16(!coil ? words[0] : words[0] != 0 ? coil_on : 0);
  }
  const BusOutcome outcome = exchange(request, expected);
  if (outcome != BusOutcome::ok) return outcome;
  // The answer repeats address and value (or count) of the request.
  if (std::memcmp(&answer_[kHeaderBytes], &request.bytes()[kHeaderBytes], kWriteAnswer) != 0)
    return fail(BusOutcome::bad_answer, expected, "answer to another write");
  return BusOutcome::ok;
}

ModbusFrame ModbusBus::new_frame(ModbusFunction function, int address) {
  ModbusFrame frame(++transaction_, unit_);
  frame.put8(static_cast<std::uint8_t>(function));
  frame.put16(static_cast<std::uint16_t>(address));
  return frame;
}

BusOutcome ModbusBus::exchange(ModbusFrame& request, const Expected& expected) {
  exception_ = ModbusException::none;
  if (!connected()) return BusOutcome::not_connected;
  const SteadyTime deadline = steady_clock::now() + timeout_;
  const BusOutcome before = state_of_the_line(expected);
  if (before != BusOutcome::ok) return before;
  request.seal();
  if (!send_all(request.bytes(), deadline))
    return fail(BusOutcome::not_connected, expected, std::strerror(errno));
  return receive(expected, deadline);
}

BusOutcome ModbusBus::receive(const Expected& expected, SteadyTime deadline) {
  received_ = 0;
  BusOutcome outcome = fill(kHeaderBytes, expected, deadline);
  if (outcome != BusOutcome::ok) return outcome;
  const ModbusHeader header = *parse_header(answer_);
  if (!plausible(header)) return fail(BusOutcome::bad_answer, expected, "garbage");
  if (header.transaction != transaction_) return fail(BusOutcome::bad_answer, expected, "wrong transaction");
  if (header.unit != unit_) return fail(BusOutcome::bad_answer, expected, "wrong unit");
  outcome = fill(kHeaderBytes - 1 + header.length, expected, deadline);
  return outcome == BusOutcome::ok ? judge(expected) : outcome;
}

BusOutcome ModbusBus::fill(std::size_t wanted, const Expected& expected, SteadyTime deadline) {
  while (received_ < wanted) {
    if (!wait_for(socket_.get(), POLLIN, deadline))
      return fail(BusOutcome::no_answer, expected, "no answer in time");
    const ssize_t n = ::recv(socket_.get(), &answer_[received_], wanted - received_, 0);
    if (n == 0) return fail(BusOutcome::not_connected, expected, "closed by the device");
    if (n < 0 && errno != EINTR && errno != EAGAIN)
      return fail(BusOutcome::not_connected, expected, std::strerror(errno));
    if (n > 0) received_ += static_cast<std::size_t>(n);
  }
  return BusOutcome::ok;
}

BusOutcome ModbusBus::judge(const Expected& expected) {
  const std::size_t pdu_bytes = received_ - kHeaderBytes;
  const auto function = static_cast<std::uint8_t>(expected.function);
  const std::uint8_t answered = answer_[kHeaderBytes];
  if (answered == (function | kExceptionFlag) && pdu_bytes == 2) {
    exception_ = static_cast<ModbusException>(answer_[kHeaderBytes + 1]);
    return fail(BusOutcome::refused, expected,
                "refused with exception " + std::to_string(answer_[kHeaderBytes + 1]));
  }
  if (answered != function) return fail(BusOutcome::bad_answer, expected, "answer to another function");
  if (pdu_bytes != expected.pdu_bytes)
    return fail(BusOutcome::bad_answer, expected, "answer of the wrong length");
  return BusOutcome::ok;
}

bool ModbusBus::send_all(std::span<const std::uint8_t> bytes, SteadyTime deadline) {
  while (!bytes.empty()) {
    const ssize_t n = ::send(socket_.get(), bytes.data(), bytes.size(), MSG_NOSIGNAL);
    if (n > 0) {
      bytes = bytes.subspan(static_cast<std::size_t>(n));
      continue;
    }
    if (errno != EAGAIN && errno != EINTR) return false;
    if (!wait_for(socket_.get(), POLLOUT, deadline)) return false;
  }
  return true;
}

/// Between requests the line is silent. What lies there is left over from an older answer.
BusOutcome ModbusBus::state_of_the_line(const Expected& expected) {
  std::uint8_t byte = 0;
  const ssize_t n = ::recv(socket_.get(), &byte, 1, MSG_PEEK | MSG_DONTWAIT);
  if (n > 0) return fail(BusOutcome::bad_answer, expected, "bytes that nobody asked for");
  if (n == 0) return fail(BusOutcome::not_connected, expected, "closed by the device");
  return BusOutcome::ok;
}

BusOutcome ModbusBus::fail(BusOutcome outcome, const Expected& expected, const std::string& why) {
  last_error_ = host_ + ":" + std::to_string(port_) + " unit " + std::to_string(unit_) + " function " +
                std::to_string(static_cast<int>(expected.function)) + " address " +
                std::to_string(expected.address) + ": " + why;
  // Anything but a refusal leaves the stream out of step: only a new connection is sure to be clean.
  if (outcome != BusOutcome::refused) close();
  return outcome;
}

}  // namespace leeward::daemon
