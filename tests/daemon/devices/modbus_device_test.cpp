#include "daemon/devices/modbus_device.hpp"

#include <gtest/gtest.h>

#include <limits>

#include "tests/daemon/devices/scripted_rig.hpp"

namespace leeward::daemon {
namespace {

using control::DeviceStatus;
using control::Drive;
using control::Quality;
using control::Sample;
using scripted::ScriptedRig;
using scripted::Write;

constexpr double kPacedHz = 20;  // a period of 50 ms keeps the tests short
constexpr std::int64_t kPacedPeriodNs = 50'000'000;

const Write kDemandZero{RegisterTable::holding, 0, 0};
const Write kEnableZero{RegisterTable::coil, 0, 0};

control::Command one_fan(Drive drive, double demand = 0) {
  control::Command command;
  command.fans[0] = {.drive = drive, .demand_frac = demand};
  return command;
}

void show_three(ScriptedRig& rig) {
  rig.set_float(0, -49.5F);
  rig.set_float(2, 123.25F);
  rig.set_float(4, 0.5F);
}

/// The first sample that satisfies, out of at most 100.
template <class Wanted>
Sample first_where(ModbusDevice& device, Wanted wanted) {
  Sample sample;
  for (int i = 0; i < 100; ++i) {
    sample = device.next_sample();
    if (wanted(sample)) return sample;
  }
  ADD_FAILURE() << "no such sample in 100";
  return sample;
}

bool reads_well(const Sample& s) { return s.building_pressure_pa.quality == Quality::good; }

TEST(ModbusDevice, TheFirstActOnAConnectionIsOffAndThenTheTimeout) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);

  ASSERT_TRUE(rig.await_writes(3));
  EXPECT_EQ(rig.writes(), (std::vector<Write>{kDemandZero, kEnableZero, {RegisterTable::holding, 10, 1.5}}));
}

TEST(ModbusDevice, ReadsEveryChannelStampedWithItsSample) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);

  const Sample sample = first_where(device, reads_well);

  EXPECT_EQ(sample.device, DeviceStatus::ok);
  EXPECT_EQ(sample.building_pressure_pa.value, -49.5);
  EXPECT_EQ(sample.building_pressure_pa.stamp_ns, sample.stamp_ns);
  EXPECT_EQ(sample.fans[0].signal_pa.value, 123.25);
  EXPECT_EQ(sample.fans[0].speed_frac.value, 0.5);
  EXPECT_EQ(sample.fans[1].signal_pa.quality, Quality::absent);
  EXPECT_EQ(sample.indoor_c.quality, Quality::absent);
  const auto health = device.health();
  EXPECT_TRUE(health.connected);
  EXPECT_EQ(health.connections, 1U);
}

TEST(ModbusDevice, NotANumberIsNotGood) {
  ScriptedRig rig;
  show_three(rig);
  rig.set_float(2, std::numeric_limits<float>::quiet_NaN());
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);

  const Sample sample = first_where(device, reads_well);

  EXPECT_EQ(sample.fans[0].signal_pa.quality, Quality::not_finite);
  EXPECT_EQ(sample.fans[0].signal_pa.value, 0);
}

TEST(ModbusDevice, ARefusedChannelIsADeviceErrorAndTheOthersAreRead) {
  ScriptedRig rig;  // registers 0 and 4, but none at 2
  rig.set_float(0, -10);
  rig.set_float(4, 0.25F);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);

  const Sample sample = first_where(device, reads_well);

  EXPECT_EQ(sample.fans[0].signal_pa.quality, Quality::device_error);
  EXPECT_EQ(sample.fans[0].speed_frac.value, 0.25);
  EXPECT_EQ(sample.device, DeviceStatus::bad_answer);
}

TEST(ModbusDevice, DriveIsEnableThenDemandAndOffIsDemandThenEnable) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  ASSERT_TRUE(rig.await_writes(3));
  rig.forget_writes();

  device.write(one_fan(Drive::drive, 0.5));
  ASSERT_TRUE(rig.await_writes(2));
  device.write(one_fan(Drive::hold_last));
  ASSERT_TRUE(rig.await_writes(4));
  device.write(one_fan(Drive::off));
  ASSERT_TRUE(rig.await_writes(6));

  const Write enable_one{RegisterTable::coil, 0, 1};
  const Write demand_half{RegisterTable::holding, 0, 0.5};
  EXPECT_EQ(rig.writes(),
            (std::vector<Write>{enable_one, demand_half, enable_one, demand_half, kDemandZero, kEnableZero}));
}

TEST(ModbusDevice, ARefusedCommandShowsInTheStatusWhileReadingsStayGood) {
  ScriptedRig rig;
  show_three(rig);
  rig.refuse(10);  // the time-out, too
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  ASSERT_TRUE(rig.await_writes(2));
  rig.refuse(0);

  const Sample sample = first_where(device, [&](const Sample& s) {
    device.write(one_fan(Drive::drive, 0.5));
    return reads_well(s) && s.device == DeviceStatus::bad_answer;
  });

  EXPECT_EQ(sample.building_pressure_pa.value, -49.5);
  EXPECT_TRUE(device.health().timeout_refused);
  EXPECT_GE(device.health().refusals, 2U);
}

TEST(ModbusDevice, SilenceGivesMissingSamplesInTimeAndNothingOldAfterwards) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  (void)first_where(device, reads_well);

  rig.set_silent(true);
  std::int64_t last_ns = -1;
  for (int i = 0; i < 10; ++i) {
    const auto before = std::chrono::steady_clock::now();
    const Sample sample = device.next_sample();
    // Not a benchmark: the period and the wait for the answer, with room for a busy machine.
    EXPECT_LT(std::chrono::steady_clock::now() - before, std::chrono::milliseconds(500));
    EXPECT_FALSE(reads_well(sample));
    EXPECT_NE(sample.device, DeviceStatus::ok);
    EXPECT_GT(sample.stamp_ns, last_ns);
    last_ns = sample.stamp_ns;
  }
  rig.set_float(0, -20);
  rig.set_silent(false);
  const Sample after = first_where(device, reads_well);

  EXPECT_EQ(after.building_pressure_pa.value, -20);
  EXPECT_GE(device.health().no_answers, 1U);
  EXPECT_GE(device.health().connections, 2U);
  EXPECT_NE(device.health().last_error.find("no answer"), std::string::npos);
}

TEST(ModbusDevice, WaitsForARigThatIsNotThereYetAndStartsItOff) {
  ScriptedRig rig(false);
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  EXPECT_EQ(device.next_sample().device, DeviceStatus::not_connected);
  device.write(one_fan(Drive::drive, 0.5));
  EXPECT_FALSE(reads_well(device.next_sample()));

  rig.start();
  (void)first_where(device, reads_well);

  EXPECT_EQ(rig.writes()[0], kDemandZero);
  EXPECT_EQ(rig.writes()[1], kEnableZero);
  EXPECT_GE(device.health().failed_connects, 1U);
}

TEST(ModbusDevice, AfterALostConnectionTheFirstActIsOffAgain) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  (void)first_where(device, reads_well);
  device.write(one_fan(Drive::drive, 0.5));
  ASSERT_TRUE(rig.await_writes(5));

  rig.stop();
  (void)first_where(device, [](const Sample& s) { return !reads_well(s); });
  rig.forget_writes();
  rig.start();
  (void)first_where(device, reads_well);

  EXPECT_EQ(rig.writes()[0], kDemandZero);
  EXPECT_EQ(rig.writes()[1], kEnableZero);
}

TEST(ModbusDevice, AWakeIsAnExtraTickBetweenTwoSamples) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  const Sample before = first_where(device, reads_well);

  device.wake();
  const Sample extra = device.next_sample();
  const Sample after = device.next_sample();

  EXPECT_TRUE(extra.out_of_turn);
  EXPECT_EQ(extra.building_pressure_pa.quality, Quality::absent);
  EXPECT_GE(extra.stamp_ns, before.stamp_ns);
  EXPECT_FALSE(after.out_of_turn);
  EXPECT_GE(after.stamp_ns, extra.stamp_ns);
}

TEST(ModbusDevice, PacesFromTheOldExpiry) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  const std::int64_t first_ns = device.next_sample().stamp_ns;

  std::int64_t ticks = 0;
  Sample sample;
  for (int i = 0; i < 20; ++i) {
    sample = device.next_sample();
    ticks += 1 + sample.late_ticks;
  }

  // Absolute, one period either way: lateness of one wake-up, which must not add up over the twenty.
  EXPECT_NEAR(static_cast<double>(sample.stamp_ns - first_ns), static_cast<double>(ticks * kPacedPeriodNs),
              static_cast<double>(kPacedPeriodNs));
}

TEST(ModbusDevice, ShuttingDownWritesOffLastAndCanBeRepeated) {
  ScriptedRig rig;
  show_three(rig);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  (void)first_where(device, reads_well);
  device.write(one_fan(Drive::drive, 0.5));
  ASSERT_TRUE(rig.await_writes(5));

  EXPECT_TRUE(device.shut_down());
  EXPECT_TRUE(device.shut_down());

  const auto writes = rig.writes();
  EXPECT_EQ(writes[writes.size() - 2], kDemandZero);
  EXPECT_EQ(writes[writes.size() - 1], kEnableZero);
}

TEST(ModbusDevice, ShuttingDownWithNobodyThereIsBoundedAndSaysSo) {
  ScriptedRig rig(false);
  ModbusDevice device(scripted::one_fan_spec(rig), kPacedHz);
  EXPECT_FALSE(device.shut_down());
}

}  // namespace
}  // namespace leeward::daemon
