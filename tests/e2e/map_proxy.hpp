#pragma once
/// Another rig in front of the virtual one: unit 7, other addresses, int16 scaled registers, low word
/// first, 5 samples a second. Packed here by hand, not by the code under test.

#include <modbus/modbus.h>
#include <netinet/in.h>
#include <sys/socket.h>
#include <unistd.h>

#include <atomic>
#include <cmath>
#include <thread>

#include "tests/e2e/bench.hpp"

namespace leeward::e2e {

class MapProxy {
 public:
  explicit MapProxy(int rig_port)
      : rig_(rig_port), server_(modbus_new_tcp("127.0.0.1", 0)), map_(modbus_mapping_new(1, 1, 8200, 400)) {
    listener_ = modbus_tcp_listen(server_, 1);
    sockaddr_in address{};
    socklen_t size = sizeof address;
    ::getsockname(listener_, reinterpret_cast<sockaddr*>(&address), &size);
    port_ = ntohs(address.sin_port);
    thread_ = std::thread([this] { serve(); });
  }
  ~MapProxy() {
    over_ = true;
    ::shutdown(listener_, SHUT_RDWR);
    if (const int fd = client_.load(); fd >= 0) ::shutdown(fd, SHUT_RDWR);
    thread_.join();
    ::close(listener_);
    modbus_mapping_free(map_);
    modbus_free(server_);
  }
  MapProxy(const MapProxy&) = delete;
  MapProxy& operator=(const MapProxy&) = delete;
  [[nodiscard]] int port() const { return port_; }

 private:
  void serve() {
    while (!over_) {
      const int fd = ::accept(listener_, nullptr, nullptr);
      if (fd < 0) return;
      client_ = fd;
      modbus_set_socket(server_, fd);
      std::array<std::uint8_t, MODBUS_TCP_MAX_ADU_LENGTH> query{};
      for (int n = modbus_receive(server_, query.data()); n >= 0 && !over_;
           n = modbus_receive(server_, query.data())) {
        if (n == 0 || query[6] != 7) continue;  // another unit: no answer
        refresh();
        modbus_reply(server_, query.data(), n, map_);
        if (query[7] == 6 || query[7] == 16) forward();
      }
      client_ = -1;
      ::close(fd);
    }
  }
  static std::uint16_t scaled(double value, double scale) {
    return static_cast<std::uint16_t>(static_cast<std::int16_t>(std::lround(value / scale)));
  }
  void refresh() {
    std::uint16_t* holding = map_->tab_registers;
    std::uint16_t* input = map_->tab_input_registers;
    holding[4096] = scaled(rig_.input_float(0), 0.1);
    holding[4097] = scaled(rig_.input_float(2), 0.1);
    input[300] = scaled(rig_.input_float(6), 0.01);
    input[301] = static_cast<std::uint16_t>(std::lround((rig_.input_float(8) + 50) / 0.01));
    const auto count = static_cast<std::uint32_t>(rig_.input(10) << 16 | rig_.input(11)) / 2;
    input[310] = static_cast<std::uint16_t>(count & 0xFFFFU);
    input[311] = static_cast<std::uint16_t>(count >> 16U);
    const auto speed = static_cast<std::uint32_t>(std::lround(rig_.input_float(4) / 0.0001));
    input[320] = static_cast<std::uint16_t>(speed & 0xFFFFU);
    input[321] = static_cast<std::uint16_t>(speed >> 16U);
  }
  void forward() { rig_.drive(map_->tab_registers[8193] * 0.0001F, map_->tab_registers[8192] != 0); }

  RigClient rig_;
  modbus_t* server_;
  modbus_mapping_t* map_;
  int listener_ = -1;
  int port_ = 0;
  std::atomic<int> client_{-1};
  std::atomic<bool> over_{false};
  std::thread thread_;
};

}  // namespace leeward::e2e
