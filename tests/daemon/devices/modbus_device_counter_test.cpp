#include <gtest/gtest.h>

#include "daemon/devices/modbus_device.hpp"
#include "tests/daemon/devices/scripted_rig.hpp"

namespace leeward::daemon {
namespace {

using control::Quality;
using control::Sample;
using scripted::ScriptedRig;

constexpr double kCountedHz = 10;
constexpr std::int64_t kCountedPeriodNs = 100'000'000;

/// A rig with a 16-bit sample counter at 6.
ModbusSpec counted_spec(const ScriptedRig& rig) {
  ModbusSpec spec = scripted::one_fan_spec(rig);
  spec.channels.push_back(
      {.name = "sample_counter", .table = RegisterTable::input, .address = 6, .type = RegisterType::uint16});
  return spec;
}

void show_count(ScriptedRig& rig, std::uint16_t count) {
  rig.set_float(0, static_cast<float>(count));
  rig.set_float(2, 1);
  rig.set_float(4, 0);
  rig.set_word(6, count);
}

/// A counted sample and how many missing ones came before it, on a machine however busy.
struct CountedSample {
  Sample sample;
  std::int64_t missing = 0;
};

CountedSample next_counted(ModbusDevice& device) {
  CountedSample out;
  for (int i = 0; i < 100; ++i) {
    out.sample = device.next_sample();
    if (out.sample.building_pressure_pa.quality == Quality::good) return out;
    out.missing += 1 + out.sample.late_ticks;
  }
  ADD_FAILURE() << "no counted sample in 100";
  return out;
}

TEST(ModbusDeviceCounter, ANewCountIsASampleAndSkippedOnesAreTold) {
  ScriptedRig rig;
  show_count(rig, 7);
  ModbusDevice device(counted_spec(rig), kCountedHz);
  const Sample first = next_counted(device).sample;

  show_count(rig, 8);
  const auto one = next_counted(device);
  show_count(rig, 13);
  const auto five = next_counted(device);

  EXPECT_EQ(first.building_pressure_pa.value, 7);
  EXPECT_EQ(one.sample.building_pressure_pa.value, 8);
  EXPECT_EQ(one.sample.skipped, 0);
  EXPECT_EQ(one.sample.stamp_ns - first.stamp_ns, (one.missing + 1) * kCountedPeriodNs);
  EXPECT_EQ(five.sample.skipped, 4);
  EXPECT_EQ(five.sample.stamp_ns - one.sample.stamp_ns,
            (five.missing + std::max<std::int64_t>(5 - five.missing, 1)) * kCountedPeriodNs);
}

TEST(ModbusDeviceCounter, WithoutANewCountMissingSamplesAdvanceByThePeriod) {
  ScriptedRig rig;
  show_count(rig, 7);
  ModbusDevice device(counted_spec(rig), kCountedHz);
  Sample last = next_counted(device).sample;

  for (int i = 0; i < 4; ++i) {
    const Sample missing = device.next_sample();
    EXPECT_EQ(missing.building_pressure_pa.quality, Quality::absent);
    EXPECT_EQ(missing.stamp_ns - last.stamp_ns, (1 + missing.late_ticks) * kCountedPeriodNs);
    last = missing;
  }
}

TEST(ModbusDeviceCounter, TheCounterWrapsAndARestartIsAGapOfOnePeriod) {
  ScriptedRig rig;
  show_count(rig, 65535);
  ModbusDevice device(counted_spec(rig), kCountedHz);
  (void)next_counted(device);

  show_count(rig, 1);
  const auto wrapped = next_counted(device);
  show_count(rig, 60000);
  const auto restarted = next_counted(device);

  EXPECT_EQ(wrapped.sample.skipped, 1);
  EXPECT_EQ(restarted.sample.skipped, 1);
  EXPECT_EQ(restarted.sample.stamp_ns - wrapped.sample.stamp_ns, (restarted.missing + 1) * kCountedPeriodNs);
}

TEST(ModbusDeviceCounter, SilenceEndsWithACountAndTimeNeverGoesBack) {
  ScriptedRig rig;
  show_count(rig, 100);
  ModbusDevice device(counted_spec(rig), kCountedHz);
  std::int64_t last_ns = next_counted(device).sample.stamp_ns;

  rig.set_silent(true);
  for (int i = 0; i < 3; ++i) {
    const Sample missing = device.next_sample();
    EXPECT_NE(missing.building_pressure_pa.quality, Quality::good);
    EXPECT_GT(missing.stamp_ns, last_ns);
    last_ns = missing.stamp_ns;
  }
  show_count(rig, 150);
  rig.set_silent(false);
  const Sample back = next_counted(device).sample;

  EXPECT_EQ(back.skipped, 49);
  EXPECT_GT(back.stamp_ns, last_ns);
}

TEST(ModbusDeviceCounter, AWakeLiesBetweenTheCounts) {
  ScriptedRig rig;
  show_count(rig, 1);
  ModbusDevice device(counted_spec(rig), kCountedHz);
  const Sample before = next_counted(device).sample;

  device.wake();
  const Sample extra = device.next_sample();
  show_count(rig, 2);
  const Sample after = next_counted(device).sample;

  EXPECT_TRUE(extra.out_of_turn);
  EXPECT_GE(extra.stamp_ns, before.stamp_ns);
  EXPECT_LT(extra.stamp_ns, before.stamp_ns + kCountedPeriodNs);
  EXPECT_GE(after.stamp_ns, before.stamp_ns + kCountedPeriodNs);
}

}  // namespace
}  // namespace leeward::daemon
