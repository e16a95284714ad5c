#include "daemon/devices/modbus_responder.hpp"

#include <modbus/modbus.h>
#include <sys/socket.h>

#include <algorithm>

namespace leeward::daemon {
namespace {

/// Header, function, address, count or value.
constexpr std::size_t kShortRequest = kFunctionAt + 5;
constexpr std::size_t kAddressAt = kFunctionAt + 1;
constexpr std::size_t kCountAt = kFunctionAt + 3;

std::optional<RegisterTable> table_of(int function) {
  switch (function) {
    case MODBUS_FC_READ_COILS:
    case MODBUS_FC_WRITE_SINGLE_COIL:
    case MODBUS_FC_WRITE_MULTIPLE_COILS:
      return RegisterTable::coil;
    case MODBUS_FC_READ_DISCRETE_INPUTS:
      return RegisterTable::discrete;
    case MODBUS_FC_READ_HOLDING_REGISTERS:
    case MODBUS_FC_WRITE_SINGLE_REGISTER:
    case MODBUS_FC_WRITE_MULTIPLE_REGISTERS:
      return RegisterTable::holding;
    case MODBUS_FC_READ_INPUT_REGISTERS:
      return RegisterTable::input;
    default:
      return std::nullopt;
  }
}

/// The part of a bank that one request is about, as libmodbus wants it. What the bank does not have is
/// beyond the end, and so libmodbus refuses it by itself.
class Window {
 public:
  Window(const RegisterBank& bank, const ModbusTarget& target) : target_(target) {
    const auto most = static_cast<int>(bits() ? bits_.size() : words_.size());
    const int wanted = std::min(target.count, most);
    // What may be written the bank tells afterwards.
    while (count_ < wanted && (target.writes || copy(bank))) ++count_;
    map();
  }
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  [[nodiscard]] modbus_mapping_t* mapping() { return &mapping_; }
  [[nodiscard]] std::vector<std::uint16_t> words() const {
    if (bits()) return {bits_.begin(), bits_.begin() + count_};
    return {words_.begin(), words_.begin() + count_};
  }

 private:
  [[nodiscard]] bool bits() const {
    return target_.table == RegisterTable::coil || target_.table == RegisterTable::discrete;
  }
  bool copy(const RegisterBank& bank) {
    const auto word = bank.get(target_.table, target_.address + count_);
    if (!word) return false;
    const auto at = static_cast<std::size_t>(count_);
    if (bits())
      bits_[at] = *word != 0 ? 1 : 0;
    else
      words_[at] = *word;
    return true;
  }
  void map() {
    switch (target_.table) {
      case RegisterTable::coil:
        mapping_.start_bits = target_.address;
        mapping_.nb_bits = count_;
        mapping_.tab_bits = bits_.data();
        return;
      case RegisterTable::discrete:
        mapping_.start_input_bits = target_.address;
        mapping_.nb_input_bits = count_;
        mapping_.tab_input_bits = bits_.data();
        return;
      case RegisterTable::holding:
        mapping_.start_registers = target_.address;
        mapping_.nb_registers = count_;
        mapping_.tab_registers = words_.data();
        return;
      case RegisterTable::input:
        mapping_.start_input_registers = target_.address;
        mapping_.nb_input_registers = count_;
        mapping_.tab_input_registers = words_.data();
        return;
    }
  }

  ModbusTarget target_;
  int count_ = 0;
  std::array<std::uint8_t, MODBUS_MAX_READ_BITS> bits_{};
  std::array<std::uint16_t, MODBUS_MAX_READ_REGISTERS> words_{};
  modbus_mapping_t mapping_{};
};

}  // namespace

std::optional<ModbusTarget> target_of(std::span<const std::uint8_t> frame) {
  if (frame.size() <= kFunctionAt) return std::nullopt;
  const int function = frame[kFunctionAt];
  const auto table = table_of(function);
  if (!table) return std::nullopt;
  const bool single = function == MODBUS_FC_WRITE_SINGLE_COIL || function == MODBUS_FC_WRITE_SINGLE_REGISTER;
  ModbusTarget target{.table = *table, .writes = single || function >= MODBUS_FC_WRITE_MULTIPLE_COILS};
  if (frame.size() < kShortRequest) return target;
  target.address = word_at(frame, kAddressAt);
  target.count = single ? 1 : word_at(frame, kCountAt);
  return target;
}

ModbusResponder::ModbusResponder() {
  std::array<int, 2> pair{-1, -1};
  if (::socketpair(AF_UNIX, SOCK_STREAM | SOCK_NONBLOCK | SOCK_CLOEXEC, 0, pair.data()) != 0) return;
  ours_.reset(pair[0]);
  its_.reset(pair[1]);
  context_ = modbus_context_over(its_);
  // A request is there as a whole or not at all: nothing is worth waiting for. The response time-out is
  // what libmodbus sleeps before it refuses a request by its value.
  modbus_set_indication_timeout(context_.get(), 0, 1);
  modbus_set_byte_timeout(context_.get(), 0, 0);
  modbus_set_response_timeout(context_.get(), 0, 1);
}

ModbusResponder::Frame ModbusResponder::answer(RegisterBank& bank, std::span<const std::uint8_t> frame) {
  const auto target = target_of(frame);
  if (!target) return refuse(frame, ModbusException::illegal_function);
  if (!take(frame)) return refuse(frame, ModbusException::illegal_value);
  Window window(bank, *target);
  (void)modbus_reply(context_.get(), request_.data(), static_cast<int>(frame.size()), window.mapping());
  Frame answer = said();
  const bool refused = answer.size() > kFunctionAt && (answer[kFunctionAt] & kExceptionFlag) != 0;
  if (!target->writes || answer.empty() || refused) return answer;
  const ModbusException exception = bank.set(target->table, target->address, window.words());
  return exception == ModbusException::none ? answer : refuse(frame, exception);
}

ModbusResponder::Frame ModbusResponder::refuse(std::span<const std::uint8_t> frame,
                                               ModbusException exception) {
  // A function beyond 127 is an exception itself and has none.
  if (frame.size() <= kFunctionAt || (frame[kFunctionAt] & kExceptionFlag) != 0) return {};
  (void)modbus_reply_exception(context_.get(), frame.data(), static_cast<unsigned>(exception));
  return said();
}

/// @returns whether libmodbus reads the frame as one request, no longer and no shorter
bool ModbusResponder::take(std::span<const std::uint8_t> frame) {
  if (::send(ours_.get(), frame.data(), frame.size(), MSG_NOSIGNAL) != static_cast<ssize_t>(frame.size()))
    return false;
  const int received = modbus_receive(context_.get(), request_.data());
  modbus_flush(context_.get());  // the rest, where it is longer
  return received == static_cast<int>(frame.size());
}

ModbusResponder::Frame ModbusResponder::said() {
  Frame bytes(kMaxFrameBytes);
  const ssize_t n = ::recv(ours_.get(), bytes.data(), bytes.size(), 0);
  bytes.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
  return bytes;
}

}  // namespace leeward::daemon
