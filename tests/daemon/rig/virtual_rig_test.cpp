#include "daemon/rig/virtual_rig.hpp"

#include <gtest/gtest.h>
#include <poll.h>
#include <sys/socket.h>

#include <cmath>

#include "tests/daemon/rig/running_rig.hpp"

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using namespace std::chrono_literals;
using running::LibraryClient;
using running::RunningRig;
using std::chrono::steady_clock;

/// Reads until the wanted is so, for at most 10 s.
template <class Wanted>
bool comes_true(Wanted wanted) {
  const auto limit = steady_clock::now() + 10s;
  while (steady_clock::now() < limit)
    if (wanted()) return true;
  return false;
}

TEST(VirtualRig, AClientOfTheLibraryDrivesTheFanAndSeesTheHouseFollow) {
  RunningRig rig(50);
  LibraryClient client(rig.port());
  ASSERT_TRUE(client.connected());
  ASSERT_TRUE(client.put(reg::kCovered, 0));
  ASSERT_TRUE(client.enable(true));
  ASSERT_TRUE(client.put_float(reg::kDemand, 0.5));

  double pressure_pa = 0;
  EXPECT_TRUE(
      comes_true([&] { return client.input(reg::kBuildingPressure, pressure_pa) && pressure_pa < -10; }));
  double truth_pa = 0;
  EXPECT_TRUE(client.input(reg::kTruePressure, truth_pa));
  EXPECT_LT(truth_pa, -10);
  std::array<std::uint8_t, 1> coil{};
  EXPECT_EQ(modbus_read_bits(client.context(), 0, 1, coil.data()), 1);
  EXPECT_EQ(coil[0], 1);
}

TEST(VirtualRig, OtherUnitsAreMetWithSilence) {
  RunningRig rig;
  LibraryClient other(rig.port(), 2);
  EXPECT_EQ(other.counter(), -1);
  LibraryClient right(rig.port(), 1);
  EXPECT_GE(right.counter(), 0);
}

TEST(VirtualRig, TheCounterRunsAtTenTimesTheSpeed) {
  RunningRig rig(20);
  LibraryClient client(rig.port());
  const std::int64_t first = client.counter();
  const auto start = steady_clock::now();
  ASSERT_TRUE(comes_true([&] { return client.counter() >= first + 60; }));
  const double seconds = std::chrono::duration<double>(steady_clock::now() - start).count();

  // 200 counts a second: 60 take 0.3 s. Never faster; slower only as a busy machine makes it.
  EXPECT_GT(seconds, 0.28);
  EXPECT_LT(seconds, 3);
}

TEST(VirtualRig, AddressesThatAreNotThereAreRefused) {
  RunningRig rig;
  LibraryClient client(rig.port());
  std::array<std::uint16_t, 4> words{};
  EXPECT_EQ(modbus_read_input_registers(client.context(), 500, 2, words.data()), -1);
  EXPECT_EQ(errno, EMBXILADD);
  EXPECT_EQ(modbus_read_registers(client.context(), 50, 2, words.data()), -1);
  EXPECT_EQ(errno, EMBXILADD);
  EXPECT_FALSE(client.put(reg::kFitted, 77));
  EXPECT_EQ(errno, EMBXILVAL);
  ASSERT_TRUE(client.put(reg::kTimeoutMode, 2));
  EXPECT_FALSE(client.put_float(reg::kTimeout, 1));
  EXPECT_EQ(errno, EMBXILADD);
  EXPECT_GE(client.counter(), 0);
}

TEST(VirtualRig, TheDriveStopsWhenTheWireIsSilentAtAnySpeed) {
  RunningRig rig(50);
  LibraryClient client(rig.port());
  ASSERT_TRUE(client.put_float(reg::kTimeout, 0.2));
  ASSERT_TRUE(client.enable(true));
  const auto start = steady_clock::now();
  ASSERT_TRUE(client.put_float(reg::kDemand, 0.5));

  double demand = 1;
  EXPECT_TRUE(comes_true([&] { return client.input(reg::kObeyed, demand) && demand == 0; }));
  EXPECT_GE(steady_clock::now() - start,
            200ms);  // of the wall clock, though the house lives fifty times faster
}

TEST(VirtualRig, HalfFramesGarbageAndIdleConnectionsHoldUpNobody) {
  RunningRig rig;
  std::vector<UniqueFd> idlers;
  const std::array<std::uint8_t, 5> half{0, 1, 0, 0, 0};
  const std::array<std::uint8_t, 12> garbage{0xA5, 0xA5, 0xA5, 0xA5, 0xA5, 0xA5, 0xA5, 0xA5, 0xA5};
  for (int i = 0; i < 100; ++i) {
    auto socket = connect_tcp("127.0.0.1", rig.port(), steady_clock::now() + 5s);
    ASSERT_TRUE(socket);
    if (i % 3 == 1) (void)::send(socket->get(), half.data(), half.size(), MSG_NOSIGNAL);
    if (i % 3 == 2) (void)::send(socket->get(), garbage.data(), garbage.size(), MSG_NOSIGNAL);
    idlers.push_back(std::move(*socket));
  }

  LibraryClient client(rig.port());
  EXPECT_GE(client.counter(), 0);
}

TEST(VirtualRig, MisbehaviourIsTowardsTheToolOnlyAndPasses) {
  RunningRig rig(10);
  LibraryClient crew(rig.port());
  ASSERT_TRUE(crew.put(reg::kMisbehaviourKind, static_cast<std::uint16_t>(Misbehaviour::silent)));
  ASSERT_TRUE(crew.put(reg::kMisbehaviourSamples, 100));  // one second of the wall clock at this speed

  LibraryClient tool(rig.port());
  EXPECT_EQ(tool.counter(), -1);
  double truth = 0;
  EXPECT_TRUE(crew.input(reg::kTruePressure, truth));
  EXPECT_TRUE(comes_true([&] {
    LibraryClient again(rig.port());
    return again.counter() >= 0;
  }));
}

TEST(VirtualRig, RefusalLeavesTheFanAsItWas) {
  RunningRig rig(10);
  LibraryClient client(rig.port());
  ASSERT_TRUE(client.put(reg::kMisbehaviourKind, static_cast<std::uint16_t>(Misbehaviour::refuses)));
  ASSERT_TRUE(client.put(reg::kMisbehaviourSamples, 60000));

  EXPECT_FALSE(client.enable(true));
  EXPECT_EQ(errno, EMBXSFAIL);
  std::array<std::uint16_t, 1> enabled{1};
  EXPECT_EQ(modbus_read_input_registers(client.context(), reg::kObeyed + 2, 1, enabled.data()), 1);
  EXPECT_EQ(enabled[0], 0);
}

}  // namespace
}  // namespace leeward::daemon
