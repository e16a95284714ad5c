#include "daemon/devices/modbus_bus.hpp"

#include <modbus/modbus.h>
#include <sys/socket.h>

#include <algorithm>
#include <cerrno>
#include <utility>

namespace leeward::daemon {
namespace {

using std::chrono::steady_clock;

int read_function(RegisterTable table) {
  switch (table) {
    case RegisterTable::coil:
      return MODBUS_FC_READ_COILS;
    case RegisterTable::discrete:
      return MODBUS_FC_READ_DISCRETE_INPUTS;
    case RegisterTable::holding:
      return MODBUS_FC_READ_HOLDING_REGISTERS;
    case RegisterTable::input:
      break;
  }
  return MODBUS_FC_READ_INPUT_REGISTERS;
}

bool is_bits(RegisterTable table) { return table == RegisterTable::coil || table == RegisterTable::discrete; }

/// Function, byte count, data.
constexpr std::size_t kReadPrefix = 2;
/// Function, address, value or count: the whole answer to a write.
constexpr std::size_t kWriteAnswer = 5;
constexpr std::size_t kMostWrites = 120;
/// Of every request: libmodbus counts only those of its own making.
constexpr std::uint16_t kTransaction = 0;

void put_word(std::vector<std::uint8_t>& bytes, std::size_t word) {
  bytes.push_back(static_cast<std::uint8_t>((word >> 8U) & 0xFFU));
  bytes.push_back(static_cast<std::uint8_t>(word & 0xFFU));
}

void unpack(RegisterTable table, std::span<const std::uint8_t> data, std::span<std::uint16_t> words) {
  for (std::size_t i = 0; i < words.size(); ++i)
    words[i] =
        is_bits(table) ? static_cast<std::uint16_t>((data[i / 8] >> (i % 8)) & 1U) : word_at(data, 2 * i);
}

/// What is left until the deadline is for the whole answer; none at all is not to be had.
void set_time_left(modbus_t* context, SteadyTime deadline) {
  using namespace std::chrono;
  const auto left = std::max(duration_cast<microseconds>(deadline - steady_clock::now()), microseconds(1));
  const auto whole_s = duration_cast<seconds>(left);
  modbus_set_response_timeout(context, static_cast<std::uint32_t>(whole_s.count()),
                              static_cast<std::uint32_t>((left - whole_s).count()));
}

}  // namespace

ModbusBus::ModbusBus(std::string host, int port, int unit, std::chrono::milliseconds timeout)
    : host_(std::move(host)), port_(port), unit_(static_cast<std::uint8_t>(unit)), timeout_(timeout) {}

/// Not by libmodbus, which takes its time-out once for each address of a name.
bool ModbusBus::connect(SteadyTime deadline) {
  close();
  auto socket = connect_tcp(host_, port_, deadline);
  if (!socket) {
    last_error_ = socket.error().text;
    return false;
  }
  socket_ = std::move(*socket);
  context_ = modbus_context_over(socket_);
  if (!context_) {
    last_error_ = host_ + ":" + std::to_string(port_) + ": out of memory or descriptors";
    close();
    return false;
  }
  modbus_set_error_recovery(context_.get(), MODBUS_ERROR_RECOVERY_NONE);
  modbus_set_byte_timeout(context_.get(), 0, 0);
  return true;
}

void ModbusBus::close() {
  context_.reset();
  socket_.reset();
}

BusOutcome ModbusBus::read(RegisterTable table, int address, std::span<std::uint16_t> words) {
  constexpr std::size_t most_bits = MODBUS_MAX_READ_BITS;
  constexpr std::size_t most_words = MODBUS_MAX_READ_REGISTERS;
  if (words.empty() || words.size() > (is_bits(table) ? most_bits : most_words)) return BusOutcome::refused;
  const std::size_t data = is_bits(table) ? (words.size() + 7) / 8 : words.size() * 2;
  const Expected expected{read_function(table), address, kReadPrefix + data};
  const BusOutcome outcome = exchange(new_request(expected.function, address, words.size()), expected);
  if (outcome == BusOutcome::ok)
    unpack(table, std::span(answer_).subspan(kFunctionAt + kReadPrefix, data), words);
  return outcome;
}

BusOutcome ModbusBus::write(RegisterTable table, int address, std::span<const std::uint16_t> words) {
  if (words.empty() || words.size() > kMostWrites) return BusOutcome::refused;
  const bool coil = table == RegisterTable::coil;
  const bool several = !coil && words.size() > 1;
  const Expected expected{coil      ? MODBUS_FC_WRITE_SINGLE_COIL
                          : several ? MODBUS_FC_WRITE_MULTIPLE_REGISTERS
                                    : MODBUS_FC_WRITE_SINGLE_REGISTER,
                          address, kWriteAnswer};
  constexpr std::uint16_t coil_on = 0xFF00;
  const std::uint16_t value = !coil ? words[0] : words[0] != 0 ? coil_on : std::uint16_t{0};
  RawRequest request = new_request(expected.function, address, several ? words.size() : value);
  if (several) {
    request.push_back(static_cast<std::uint8_t>(words.size() * 2));
    for (const std::uint16_t word : words) put_word(request, word);
  }
  const BusOutcome outcome = exchange(request, expected);
  if (outcome != BusOutcome::ok) return outcome;
  // The answer repeats address and value (or count) of the request.
  if (!std::equal(answer_.begin() + kFunctionAt, answer_.begin() + kFunctionAt + kWriteAnswer,
                  request.begin() + 1))
    return fail(BusOutcome::bad_answer, expected, "answer to another write");
  return BusOutcome::ok;
}

ModbusBus::RawRequest ModbusBus::new_request(int function, int address, std::size_t count_or_value) const {
  RawRequest request{unit_, static_cast<std::uint8_t>(function)};
  put_word(request, static_cast<std::size_t>(address));
  put_word(request, count_or_value);
  return request;
}

BusOutcome ModbusBus::exchange(const RawRequest& request, const Expected& expected) {
  exception_ = ModbusException::none;
  if (!connected()) return BusOutcome::not_connected;
  const SteadyTime deadline = steady_clock::now() + timeout_;
  const BusOutcome before = state_of_the_line(expected);
  if (before != BusOutcome::ok) return before;
  if (modbus_send_raw_request(context_.get(), request.data(), static_cast<int>(request.size())) < 0)
    return fail(BusOutcome::not_connected, expected, modbus_strerror(errno));
  set_time_left(context_.get(), deadline);
  const int received = modbus_receive_confirmation(context_.get(), answer_.data());
  if (received < 0) return fail_to_receive(expected, errno);
  const BusOutcome header = judge_header(expected, static_cast<std::size_t>(received));
  return header == BusOutcome::ok ? judge(expected, static_cast<std::size_t>(received)) : header;
}

/// Between requests the line is silent. What lies there is left over from an older answer.
BusOutcome ModbusBus::state_of_the_line(const Expected& expected) {
  std::uint8_t byte = 0;
  const ssize_t n = ::recv(socket_.get(), &byte, 1, MSG_PEEK | MSG_DONTWAIT);
  if (n > 0) return fail(BusOutcome::bad_answer, expected, "bytes that nobody asked for");
  if (n == 0) return fail(BusOutcome::not_connected, expected, "closed by the device");
  return BusOutcome::ok;
}

BusOutcome ModbusBus::judge_header(const Expected& expected, std::size_t received) {
  const auto bad = [&](const char* why) { return fail(BusOutcome::bad_answer, expected, why); };
  if (word_at(answer_, kProtocolAt) != 0) return bad("garbage");
  if (word_at(answer_, kTransactionAt) != kTransaction) return bad("wrong transaction");
  if (answer_[kUnitAt] != unit_) return bad("wrong unit");
  // libmodbus goes by function and byte count.
  if (kUnitAt + word_at(answer_, kLengthAt) != received) return bad("answer of the wrong length");
  return BusOutcome::ok;
}

BusOutcome ModbusBus::judge(const Expected& expected, std::size_t received) {
  const std::size_t pdu_bytes = received - kFunctionAt;
  const int answered = answer_[kFunctionAt];
  if (answered == (expected.function | kExceptionFlag) && pdu_bytes == 2) {
    const std::uint8_t number = answer_[kFunctionAt + 1];
    exception_ = static_cast<ModbusException>(number);
    return fail(BusOutcome::refused, expected, "refused with exception " + std::to_string(number));
  }
  if (answered != expected.function)
    return fail(BusOutcome::bad_answer, expected, "answer to another function");
  // Of a reading, libmodbus has taken as many bytes as its byte count says: this checks that as well.
  if (pdu_bytes != expected.pdu_bytes)
    return fail(BusOutcome::bad_answer, expected, "answer of the wrong length");
  return BusOutcome::ok;
}

BusOutcome ModbusBus::fail_to_receive(const Expected& expected, int error) {
  if (error == ETIMEDOUT) return fail(BusOutcome::no_answer, expected, "no answer in time");
  if (error == EMBBADDATA) return fail(BusOutcome::bad_answer, expected, "garbage");
  if (error == ECONNRESET) return fail(BusOutcome::not_connected, expected, "closed by the device");
  return fail(BusOutcome::not_connected, expected, modbus_strerror(error));
}

BusOutcome ModbusBus::fail(BusOutcome outcome, const Expected& expected, const std::string& why) {
  last_error_ = host_ + ":" + std::to_string(port_) + " unit " + std::to_string(unit_) + " function " +
                std::to_string(expected.function) + " address " + std::to_string(expected.address) + ": " +
                why;
  // Anything but a refusal leaves the stream out of step: only a new connection is sure to be clean.
  if (outcome != BusOutcome::refused) close();
  return outcome;
}

}  // namespace leeward::daemon
