#include "daemon/devices/modbus_bus.hpp"

#include <gtest/gtest.h>
#include <linux/sockios.h>
#include <modbus/modbus.h>
#include <poll.h>
#include <sys/ioctl.h>
#include <sys/socket.h>

#include <functional>
#include <thread>

namespace leeward::daemon {
namespace {

using namespace std::chrono_literals;

/// The library as it serves by itself: what we say must mean the same to it.
class LibraryServer {
 public:
  LibraryServer() : context_(modbus_new_tcp("127.0.0.1", 0)), map_(modbus_mapping_new(20, 20, 20, 20)) {
    auto listener = listen_tcp("127.0.0.1", 0);
    listener_ = std::move(*listener);
    port_ = local_port(listener_);
    thread_ = std::thread([this] { serve(); });
  }
  ~LibraryServer() {
    thread_.join();
    modbus_mapping_free(map_);
    modbus_free(context_);
  }
  int port() const { return port_; }
  modbus_mapping_t* map() { return map_; }

 private:
  void serve() {
    (void)wait_for(listener_.get(), POLLIN, std::chrono::steady_clock::now() + 5s);
    int socket = listener_.get();
    if (modbus_tcp_accept(context_, &socket) < 0) return;
    std::array<std::uint8_t, MODBUS_TCP_MAX_ADU_LENGTH> request{};
    int size = 0;
    while ((size = modbus_receive(context_, request.data())) >= 0)
      if (size > 0) modbus_reply(context_, request.data(), size, map_);
    modbus_close(context_);
  }

  modbus_t* context_;
  modbus_mapping_t* map_;
  UniqueFd listener_;
  int port_ = 0;
  std::thread thread_;
};

TEST(ModbusBus, MeansTheSameAsTheLibraryDoes) {
  LibraryServer server;
  ModbusBus bus("127.0.0.1", server.port(), 1, 1000ms);
  ASSERT_TRUE(bus.connect(std::chrono::steady_clock::now() + 1s));
  const std::array<std::uint16_t, 2> two{0x4249, 0x0001};
  const std::array<std::uint16_t, 1> one{77};

  EXPECT_EQ(bus.write(RegisterTable::holding, 4, two), BusOutcome::ok);
  EXPECT_EQ(bus.write(RegisterTable::holding, 6, one), BusOutcome::ok);
  EXPECT_EQ(bus.write(RegisterTable::coil, 9, one), BusOutcome::ok);
  std::array<std::uint16_t, 3> holding{};
  EXPECT_EQ(bus.read(RegisterTable::holding, 4, holding), BusOutcome::ok);
  std::array<std::uint16_t, 12> coils{};
  EXPECT_EQ(bus.read(RegisterTable::coil, 0, coils), BusOutcome::ok);
  std::array<std::uint16_t, 2> input{};
  server.map()->tab_input_registers[3] = 1234;
  EXPECT_EQ(bus.read(RegisterTable::input, 2, input), BusOutcome::ok);
  std::array<std::uint16_t, 2> discrete{};
  server.map()->tab_input_bits[1] = 1;
  EXPECT_EQ(bus.read(RegisterTable::discrete, 0, discrete), BusOutcome::ok);

  EXPECT_EQ(server.map()->tab_registers[4], 0x4249);
  EXPECT_EQ(server.map()->tab_bits[9], 1);
  EXPECT_EQ(holding, (std::array<std::uint16_t, 3>{0x4249, 1, 77}));
  EXPECT_EQ(coils[9], 1);
  EXPECT_EQ(coils[8], 0);
  EXPECT_EQ(input[1], 1234);
  EXPECT_EQ(discrete[1], 1);
  bus.close();
}

TEST(ModbusBus, ARefusalIsToldAndKeepsTheConnection) {
  LibraryServer server;
  ModbusBus bus("127.0.0.1", server.port(), 1, 1000ms);
  ASSERT_TRUE(bus.connect(std::chrono::steady_clock::now() + 1s));
  std::array<std::uint16_t, 2> words{};

  EXPECT_EQ(bus.read(RegisterTable::input, 100, words), BusOutcome::refused);
  EXPECT_EQ(bus.exception(), ModbusException::illegal_address);
  EXPECT_TRUE(bus.connected());
  EXPECT_EQ(bus.read(RegisterTable::input, 0, words), BusOutcome::ok);
  EXPECT_NE(bus.last_error().find("127.0.0.1:" + std::to_string(server.port())), std::string::npos);
  EXPECT_NE(bus.last_error().find("address 100"), std::string::npos);
  bus.close();
}

/// What a bus says to a device that never answers.
std::vector<std::uint8_t> bytes_sent_by(const std::function<BusOutcome(ModbusBus&)>& act) {
  const auto listener = listen_tcp("127.0.0.1", 0);
  ModbusBus bus("127.0.0.1", local_port(*listener), 17, 20ms);
  EXPECT_TRUE(bus.connect(std::chrono::steady_clock::now() + 1s));
  EXPECT_EQ(act(bus), BusOutcome::no_answer);
  const UniqueFd device(::accept4(listener->get(), nullptr, nullptr, SOCK_CLOEXEC));
  std::vector<std::uint8_t> bytes(kMaxFrameBytes);
  const ssize_t n = ::recv(device.get(), bytes.data(), bytes.size(), 0);
  bytes.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
  return bytes;
}

// Written out from the layout in the MODBUS Application Protocol V1.1b3 (from memory), not by the library.
TEST(ModbusBus, ARequestIsTheBytesOfTheProtocol) {
  using Bytes = std::vector<std::uint8_t>;
  std::array<std::uint16_t, 3> words{0x1234, 0x5678, 0x9ABC};

  EXPECT_EQ(bytes_sent_by([&](ModbusBus& bus) { return bus.read(RegisterTable::input, 0x0102, words); }),
            (Bytes{0, 0, 0, 0, 0, 6, 17, 4, 1, 2, 0, 3}));
  EXPECT_EQ(bytes_sent_by([&](ModbusBus& bus) { return bus.write(RegisterTable::holding, 5, words); }),
            (Bytes{0, 0, 0, 0, 0, 13, 17, 16, 0, 5, 0, 3, 6, 0x12, 0x34, 0x56, 0x78, 0x9A, 0xBC}));
  EXPECT_EQ(bytes_sent_by([&](ModbusBus& bus) {
              return bus.write(RegisterTable::holding, 5, std::span(words).first(1));
            }),
            (Bytes{0, 0, 0, 0, 0, 6, 17, 6, 0, 5, 0x12, 0x34}));
  EXPECT_EQ(bytes_sent_by(
                [&](ModbusBus& bus) { return bus.write(RegisterTable::coil, 5, std::span(words).first(1)); }),
            (Bytes{0, 0, 0, 0, 0, 6, 17, 5, 0, 5, 0xFF, 0}));
}

TEST(ModbusBus, ConnectingToNobodyFailsWithTheReason) {
  int free_port = 0;
  {
    const auto listener = listen_tcp("127.0.0.1", 0);
    free_port = local_port(*listener);
  }
  ModbusBus bus("127.0.0.1", free_port, 1, 40ms);

  EXPECT_FALSE(bus.connect(std::chrono::steady_clock::now() + 1s));
  EXPECT_NE(bus.last_error().find("refused"), std::string::npos);
}

TEST(ModbusBus, AServerThatAcceptsAndSaysNothingCostsOneTimeout) {
  const auto listener = listen_tcp("127.0.0.1", 0);  // the system accepts on its behalf
  ModbusBus bus("127.0.0.1", local_port(*listener), 1, 40ms);
  ASSERT_TRUE(bus.connect(std::chrono::steady_clock::now() + 1s));
  std::array<std::uint16_t, 2> words{};

  EXPECT_EQ(bus.read(RegisterTable::input, 0, words), BusOutcome::no_answer);
  EXPECT_FALSE(bus.connected());
  EXPECT_EQ(bus.read(RegisterTable::input, 0, words), BusOutcome::not_connected);
}

/// Until the other end has all of it. @returns whether that came in time
bool delivered(const UniqueFd& socket) {
  const auto limit = std::chrono::steady_clock::now() + 5s;
  while (std::chrono::steady_clock::now() < limit) {
    int unacknowledged = 0;
    if (::ioctl(socket.get(), SIOCOUTQ, &unacknowledged) == 0 && unacknowledged == 0) return true;
    std::this_thread::yield();
  }
  return false;
}

/// All requests are transaction 0: nothing else tells that answer from the one that is to come.
TEST(ModbusBus, AnAnswerFromBeforeTheRequestIsNotTakenForItsOwn) {
  const auto listener = listen_tcp("127.0.0.1", 0);
  ModbusBus bus("127.0.0.1", local_port(*listener), 1, 1000ms);
  ASSERT_TRUE(bus.connect(std::chrono::steady_clock::now() + 1s));
  const UniqueFd device(::accept4(listener->get(), nullptr, nullptr, SOCK_CLOEXEC));
  const std::array<std::uint8_t, 13> old{0, 0, 0, 0, 0, 7, 1, 4, 4, 0x42, 0x49, 0, 1};
  ASSERT_EQ(::send(device.get(), old.data(), old.size(), MSG_NOSIGNAL), 13);
  ASSERT_TRUE(delivered(device));
  std::array<std::uint16_t, 2> words{};

  EXPECT_EQ(bus.read(RegisterTable::input, 0, words), BusOutcome::bad_answer);
  EXPECT_NE(bus.last_error().find("nobody asked"), std::string::npos);
  EXPECT_FALSE(bus.connected());
}

}  // namespace
}  // namespace leeward::daemon
