#pragma once
/// The virtual rig in a thread of this process, and the client functions of libmodbus, which the daemon does
/// not use.

#include <modbus/modbus.h>
#include <sys/eventfd.h>

#include <array>
#include <bit>
#include <thread>

#include "daemon/rig/virtual_rig.hpp"

namespace leeward::daemon::running {

class RunningRig {
 public:
  explicit RunningRig(double speed = 1)
      : end_(::eventfd(0, EFD_CLOEXEC)), rig_(std::move(*listen_tcp("127.0.0.1", 0)), {}, speed, 1) {
    thread_ = std::thread([this] { rig_.run(end_.get()); });
  }
  ~RunningRig() {
    const std::uint64_t one = 1;
    (void)!::write(end_.get(), &one, sizeof one);
    thread_.join();
  }
  [[nodiscard]] int port() const { return rig_.port(); }

 private:
  UniqueFd end_;
  VirtualRig rig_;
  std::thread thread_;
};

class LibraryClient {
 public:
  explicit LibraryClient(int port, int unit = 1) : context_(modbus_new_tcp("127.0.0.1", port)) {
    modbus_set_slave(context_, unit);
    modbus_set_response_timeout(context_, 0, 400'000);
    connected_ = modbus_connect(context_) == 0;
  }
  ~LibraryClient() {
    modbus_close(context_);
    modbus_free(context_);
  }
  LibraryClient(const LibraryClient&) = delete;
  LibraryClient& operator=(const LibraryClient&) = delete;

  [[nodiscard]] bool connected() const { return connected_; }
  modbus_t* context() { return context_; }
  bool put(int address, std::uint16_t value) { return modbus_write_register(context_, address, value) == 1; }
  bool put_float(int address, double value) {
    const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(value));
    const std::array<std::uint16_t, 2> words{static_cast<std::uint16_t>(bits >> 16U),
                                             static_cast<std::uint16_t>(bits & 0xFFFFU)};
    return modbus_write_registers(context_, address, 2, words.data()) == 2;
  }
  bool enable(bool on) { return modbus_write_bit(context_, 0, on ? 1 : 0) == 1; }
  /// @returns whether it was answered
  bool input(int address, double& value) {
    std::array<std::uint16_t, 2> words{};
    if (modbus_read_input_registers(context_, address, 2, words.data()) != 2) return false;
    value = static_cast<double>(std::bit_cast<float>((std::uint32_t{words[0]} << 16U) | words[1]));
    return true;
  }
  /// -1 when it was not answered
  std::int64_t counter() {
    std::array<std::uint16_t, 2> words{};
    if (modbus_read_input_registers(context_, rig_registers::kSampleCounter, 2, words.data()) != 2) return -1;
    return (std::int64_t{words[0]} << 16U) | words[1];
  }

 private:
  modbus_t* context_;
  bool connected_ = false;
};

}  // namespace leeward::daemon::running
