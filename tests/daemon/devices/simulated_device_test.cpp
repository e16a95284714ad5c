#include "daemon/devices/simulated_device.hpp"

#include <gtest/gtest.h>

#include "daemon/devices/make_device.hpp"

namespace leeward::daemon {
namespace {

using control::AskKind;
using control::Drive;
using control::Quality;

constexpr double kSimulatedHz = 10;

SimulatedSpec unpaced(std::uint64_t seed = 1) {
  SimulatedSpec spec;
  spec.speed = 0;
  spec.seed = seed;
  return spec;
}

void uncover(Device& device) { device.crew_did({.kind = AskKind::uncover_fan}); }

control::Command simulated_demand(double demand) {
  control::Command command;
  command.fans[0] = {.drive = Drive::drive, .demand_frac = demand};
  return command;
}

control::Sample after_ticks(Device& device, int ticks) {
  control::Sample sample;
  for (int i = 0; i < ticks; ++i) sample = device.next_sample();
  return sample;
}

TEST(SimulatedDevice, EngineTimeIsTicksOverTheRate) {
  SimulatedDevice device(unpaced(), kSimulatedHz);
  EXPECT_EQ(device.next_sample().stamp_ns, 0);
  const auto second = device.next_sample();
  EXPECT_EQ(second.stamp_ns, 100'000'000);
  EXPECT_EQ(second.building_pressure_pa.quality, Quality::good);
  EXPECT_EQ(second.fans[0].signal_pa.quality, Quality::good);
  EXPECT_EQ(second.fans[1].signal_pa.quality, Quality::absent);
}

TEST(SimulatedDevice, SeedAndCommandsFixEveryReading) {
  SimulatedDevice a(unpaced(7), kSimulatedHz);
  SimulatedDevice b(unpaced(7), kSimulatedHz);
  SimulatedDevice c(unpaced(8), kSimulatedHz);
  bool c_differs = false;
  for (int i = 0; i < 100; ++i) {
    auto sample = a.next_sample();
    auto same = b.next_sample();
    const auto other = c.next_sample();
    sample.wall_unix_ms = same.wall_unix_ms = 0;
    EXPECT_EQ(sample, same);
    c_differs = c_differs || sample.building_pressure_pa.value != other.building_pressure_pa.value;
    for (SimulatedDevice* device : {&a, &b, &c}) device->write(simulated_demand(0.3));
  }
  EXPECT_TRUE(c_differs);
}

TEST(SimulatedDevice, AnUncoveredFanThatIsDrivenMovesTheHouseAndHoldingKeepsIt) {
  SimulatedDevice device(unpaced(), kSimulatedHz);
  uncover(device);
  (void)device.next_sample();
  device.write(simulated_demand(0.5));
  const auto driven = after_ticks(device, 200);
  control::Command hold;
  hold.fans[0].drive = Drive::hold_last;
  device.write(hold);
  const auto held = after_ticks(device, 100);
  (void)device.shut_down();
  const auto off = after_ticks(device, 300);

  EXPECT_LT(driven.building_pressure_pa.value, -10);
  EXPECT_GT(held.fans[0].speed_frac.value, 0.3);
  EXPECT_LT(off.fans[0].speed_frac.value, 0.05);
}

TEST(SimulatedDevice, TheCrewTurnsFitsAndCovers) {
  SimulatedDevice device(unpaced(), kSimulatedHz);
  uncover(device);
  device.crew_did({.kind = AskKind::turn_fan, .direction = control::Direction::pressurize});
  (void)device.next_sample();
  device.write(simulated_demand(0.5));
  EXPECT_GT(after_ticks(device, 200).building_pressure_pa.value, 10);

  const double wide = after_ticks(device, 1).building_pressure_pa.value;
  device.crew_did({.kind = AskKind::fit_restriction, .restriction = 3});
  EXPECT_LT(after_ticks(device, 200).building_pressure_pa.value, 0.7 * wide);

  device.crew_did({.kind = AskKind::cover_fan});
  EXPECT_LT(after_ticks(device, 200).fans[0].signal_pa.value, 2);
}

TEST(SimulatedDevice, AWakeIsAnExtraTickWithoutReadings) {
  SimulatedDevice device(unpaced(), kSimulatedHz);
  const auto before = device.next_sample();
  device.wake();
  const auto extra = device.next_sample();
  const auto after = device.next_sample();

  EXPECT_TRUE(extra.out_of_turn);
  EXPECT_EQ(extra.building_pressure_pa.quality, Quality::absent);
  EXPECT_GT(extra.stamp_ns, before.stamp_ns);
  EXPECT_LT(extra.stamp_ns, after.stamp_ns);
  EXPECT_FALSE(after.out_of_turn);
}

TEST(SimulatedDevice, PacedItTakesItsTime) {
  SimulatedSpec spec;
  spec.speed = 20;
  SimulatedDevice device(spec, kSimulatedHz);
  const auto start = std::chrono::steady_clock::now();
  (void)after_ticks(device, 21);  // twenty periods of 5 ms
  EXPECT_GE(std::chrono::steady_clock::now() - start, std::chrono::milliseconds(95));
}

TEST(MakeDevice, GivesTheDeviceOfTheRigFile) {
  RigSpec rig;
  EXPECT_NE(dynamic_cast<SimulatedDevice*>(make_device(rig).get()), nullptr);
  rig.device = DeviceKind::modbus_tcp;
  rig.modbus.port = 1;
  const auto device = make_device(rig);
  EXPECT_FALSE(device->health().connected);
  EXPECT_FALSE(device->shut_down());
}

}  // namespace
}  // namespace leeward::daemon
