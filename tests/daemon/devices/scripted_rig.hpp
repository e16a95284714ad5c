#pragma once
/// A device of registers that a test sets by hand, behind the real server in a thread of its own.

#include <poll.h>
#include <sys/eventfd.h>

#include <bit>
#include <condition_variable>
#include <functional>
#include <map>
#include <mutex>
#include <set>
#include <thread>

#include "daemon/devices/modbus_responder.hpp"
#include "daemon/devices/modbus_server.hpp"

namespace leeward::daemon::scripted {

struct Write {
  RegisterTable table;
  int address;
  double value;  ///< of two words: a float32
  bool operator==(const Write&) const = default;
};

class ScriptedRig : public RegisterBank {
 public:
  explicit ScriptedRig(bool up = true) {
    listener_ = std::move(*listen_tcp("127.0.0.1", 0));
    port_ = local_port(listener_);
    if (!up) listener_.reset();
    if (up) start();
  }
  ~ScriptedRig() override { stop(); }

  int port() const { return port_; }
  void start() {
    if (!listener_.valid()) listener_ = std::move(*listen_tcp("127.0.0.1", port_));
    end_ = UniqueFd(::eventfd(0, EFD_CLOEXEC));
    thread_ = std::thread([this, listener = std::move(listener_)]() mutable { serve(std::move(listener)); });
  }
  /// All connections end.
  void stop() {
    if (!thread_.joinable()) return;
    const std::uint64_t one = 1;
    (void)!::write(end_.get(), &one, sizeof one);
    thread_.join();
  }

  void set_float(int address, float value) {
    const std::lock_guard lock(mutex_);
    const auto bits = std::bit_cast<std::uint32_t>(value);
    input_[address] = static_cast<std::uint16_t>(bits >> 16U);
    input_[address + 1] = static_cast<std::uint16_t>(bits & 0xFFFFU);
  }
  void set_word(int address, std::uint16_t value) {
    const std::lock_guard lock(mutex_);
    input_[address] = value;
  }
  void set_silent(bool silent) {
    const std::lock_guard lock(mutex_);
    silent_ = silent;
  }
  /// Holding register or coil that takes no value.
  void refuse(int address) {
    const std::lock_guard lock(mutex_);
    refused_.insert(address);
  }
  std::vector<Write> writes() {
    const std::lock_guard lock(mutex_);
    return writes_;
  }
  /// @returns whether so many writes have come in time
  bool await_writes(std::size_t count) {
    std::unique_lock lock(mutex_);
    return heard_.wait_for(lock, std::chrono::seconds(5), [&] { return writes_.size() >= count; });
  }
  void forget_writes() {
    const std::lock_guard lock(mutex_);
    writes_.clear();
  }

  std::optional<std::uint16_t> get(RegisterTable table, int address) const override {
    const auto found = input_.find(address);
    if (table != RegisterTable::input || found == input_.end()) return std::nullopt;
    return found->second;
  }
  ModbusException set(RegisterTable table, int address, std::span<const std::uint16_t> words) override {
    if (refused_.contains(address)) return ModbusException::illegal_address;
    const std::uint32_t bits = words.size() == 2 ? (std::uint32_t{words[0]} << 16U) | words[1] : 0;
    const double value = words.size() == 2 ? static_cast<double>(std::bit_cast<float>(bits)) : words[0];
    writes_.push_back({table, address, value});
    heard_.notify_all();
    return ModbusException::none;
  }

 private:
  void serve(UniqueFd listener) {
    ModbusResponder responder;
    ModbusServer server(std::move(listener), [&](std::span<const std::uint8_t> request) {
      const std::lock_guard lock(mutex_);
      return silent_ ? BusReply{} : BusReply{TimedBytes{.bytes = responder.answer(*this, request)}};
    });
    while (!server.serve_until(std::chrono::steady_clock::now() + std::chrono::hours(1), end_.get())) {
    }
  }

  UniqueFd listener_;
  UniqueFd end_;
  int port_ = 0;
  std::mutex mutex_;
  std::condition_variable heard_;
  std::map<int, std::uint16_t> input_;
  std::set<int> refused_;
  std::vector<Write> writes_;
  bool silent_ = false;
  std::thread thread_;
};

/// Building pressure, signal, speed of one fan at 0, 2 and 4; its demand, enable and time-out.
inline ModbusSpec one_fan_spec(const ScriptedRig& rig) {
  ModbusSpec spec;
  spec.port = rig.port();
  spec.fan_timeout_s = 1.5;
  const auto add = [&](const char* name, RegisterTable table, int address, RegisterType type) {
    spec.channels.push_back({.name = name, .table = table, .address = address, .type = type});
  };
  add("building_pressure", RegisterTable::input, 0, RegisterType::float32);
  add("fan1_signal", RegisterTable::input, 2, RegisterType::float32);
  add("fan1_speed", RegisterTable::input, 4, RegisterType::float32);
  add("fan1_demand", RegisterTable::holding, 0, RegisterType::float32);
  add("fan1_enable", RegisterTable::coil, 0, RegisterType::bit);
  add("fan1_timeout", RegisterTable::holding, 10, RegisterType::float32);
  return spec;
}

}  // namespace leeward::daemon::scripted
