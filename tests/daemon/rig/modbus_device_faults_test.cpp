/// The fault catalogue of the bus: ModbusDevice against a rig that misbehaves on request.

#include <gtest/gtest.h>

#include "daemon/devices/modbus_device.hpp"
#include "tests/daemon/rig/running_rig.hpp"

namespace leeward::daemon {
namespace {

namespace reg = rig_registers;
using control::DeviceStatus;
using control::Quality;
using control::Sample;
using namespace std::chrono_literals;
using running::LibraryClient;
using running::RunningRig;

constexpr double kFaultHz = 10;

ModbusSpec rig_spec(int port, bool counted) {
  ModbusSpec spec;
  spec.port = port;
  const auto add = [&](const char* name, RegisterTable table, int address, RegisterType type) {
    spec.channels.push_back({.name = name, .table = table, .address = address, .type = type});
  };
  add("building_pressure", RegisterTable::input, reg::kBuildingPressure, RegisterType::float32);
  add("fan1_signal", RegisterTable::input, reg::kFan1Signal, RegisterType::float32);
  add("fan1_speed", RegisterTable::input, reg::kFan1Speed, RegisterType::float32);
  add("indoor_c", RegisterTable::input, reg::kIndoorC, RegisterType::float32);
  add("outdoor_c", RegisterTable::input, reg::kOutdoorC, RegisterType::float32);
  add("fan1_demand", RegisterTable::holding, reg::kDemand, RegisterType::float32);
  add("fan1_enable", RegisterTable::coil, 0, RegisterType::bit);
  add("fan1_timeout", RegisterTable::holding, reg::kTimeout, RegisterType::float32);
  if (counted) add("sample_counter", RegisterTable::input, reg::kSampleCounter, RegisterType::uint32);
  return spec;
}

bool has_pressure(const Sample& s) { return s.building_pressure_pa.quality == Quality::good; }

/// Takes samples until one reads well or the other way round; every one in time and none back in time.
class FaultWatch {
 public:
  explicit FaultWatch(ModbusDevice& device) : device_(device) {}

  Sample until_pressure(bool good) {
    Sample sample;
    for (int i = 0; i < 100; ++i) {
      sample = next();
      if (has_pressure(sample) == good) return sample;
    }
    ADD_FAILURE() << "never in 100 samples";
    return sample;
  }

 private:
  Sample next() {
    const auto before = std::chrono::steady_clock::now();
    Sample sample = device_.next_sample();
    // The period of 100 ms, at most 0.6 of it for the answer, and room for a busy machine.
    EXPECT_LT(std::chrono::steady_clock::now() - before, 600ms);
    EXPECT_GE(sample.stamp_ns, last_ns_);
    last_ns_ = sample.stamp_ns;
    return sample;
  }
  ModbusDevice& device_;
  std::int64_t last_ns_ = 0;
};

struct BusFault {
  Misbehaviour kind;
  bool counted;
};

class ModbusDeviceFaults : public testing::TestWithParam<BusFault> {};

TEST_P(ModbusDeviceFaults, SamplesGoOnInTimeAndReadingsComeBack) {
  const auto [kind, counted] = GetParam();
  RunningRig rig;
  LibraryClient crew(rig.port());
  ModbusDevice device(rig_spec(rig.port(), counted), kFaultHz);
  FaultWatch watch(device);
  (void)watch.until_pressure(true);

  ASSERT_TRUE(crew.put(reg::kMisbehaviourKind, static_cast<std::uint16_t>(kind)));
  ASSERT_TRUE(crew.put(reg::kMisbehaviourSamples, 4));
  const Sample bad = watch.until_pressure(false);
  const Sample good = watch.until_pressure(true);

  EXPECT_NE(bad.building_pressure_pa.quality, Quality::good);
  EXPECT_EQ(bad.building_pressure_pa.value, 0);
  EXPECT_EQ(good.building_pressure_pa.stamp_ns, good.stamp_ns);
  EXPECT_TRUE(device.health().connected);
  EXPECT_TRUE(device.shut_down());
}

INSTANTIATE_TEST_SUITE_P(
    Catalogue, ModbusDeviceFaults,
    testing::Values(BusFault{Misbehaviour::silent, false}, BusFault{Misbehaviour::late, false},
                    BusFault{Misbehaviour::garbage, false}, BusFault{Misbehaviour::wrong_transaction, false},
                    BusFault{Misbehaviour::wrong_unit, false},
                    BusFault{Misbehaviour::closes_mid_frame, false},
                    BusFault{Misbehaviour::stops_mid_frame, false}, BusFault{Misbehaviour::trickle, false},
                    BusFault{Misbehaviour::not_a_number, false}, BusFault{Misbehaviour::refuses, false},
                    BusFault{Misbehaviour::closes, false}, BusFault{Misbehaviour::silent, true},
                    BusFault{Misbehaviour::trickle, true}, BusFault{Misbehaviour::garbage, true},
                    BusFault{Misbehaviour::not_a_number, true}, BusFault{Misbehaviour::refuses, true},
                    BusFault{Misbehaviour::counter_stands, true}),
    [](const auto& param) {
      return "Kind" + std::to_string(static_cast<int>(param.param.kind)) +
             (param.param.counted ? "Counted" : "Paced");
    });

/// What the status and the health say of each kind of bad answer.
TEST(ModbusDeviceFaultWords, TheStatusNamesWhatWasWrong) {
  RunningRig rig;
  LibraryClient crew(rig.port());
  ModbusDevice device(rig_spec(rig.port(), false), kFaultHz);
  FaultWatch watch(device);
  const auto status_under = [&](Misbehaviour kind) {
    (void)watch.until_pressure(true);
    EXPECT_TRUE(crew.put(reg::kMisbehaviourKind, static_cast<std::uint16_t>(kind)));
    EXPECT_TRUE(crew.put(reg::kMisbehaviourSamples, 3));
    return watch.until_pressure(false).device;
  };

  EXPECT_EQ(status_under(Misbehaviour::refuses), DeviceStatus::bad_answer);
  EXPECT_GE(device.health().refusals, 1U);
  EXPECT_NE(device.health().last_error.find("exception 4"), std::string::npos);
  EXPECT_EQ(status_under(Misbehaviour::wrong_unit), DeviceStatus::bad_answer);
  EXPECT_NE(device.health().last_error.find("wrong unit"), std::string::npos);
  EXPECT_EQ(status_under(Misbehaviour::stops_mid_frame), DeviceStatus::no_answer);
  (void)watch.until_pressure(true);  // the worker may still have been trying when the sample was due
  EXPECT_GE(device.health().no_answers, 1U);
}

TEST(ModbusDeviceOnAFastRig, EngineTimeIsTheCountOfTheRig) {
  RunningRig rig(100);
  LibraryClient crew(rig.port());
  ModbusDevice device(rig_spec(rig.port(), true), kFaultHz);
  FaultWatch watch(device);
  const Sample first = watch.until_pressure(true);
  const auto start = std::chrono::steady_clock::now();

  Sample last = first;
  std::int64_t skipped = 0;
  std::int64_t counts = 0;
  for (int i = 0; i < 300; ++i) {
    last = device.next_sample();
    device.write({});
    if (!has_pressure(last)) continue;
    skipped += last.skipped;
    counts += 1 + last.skipped;
  }
  const double wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  const double engine_s = static_cast<double>(last.stamp_ns - first.stamp_ns) * 1e-9;

  EXPECT_NEAR(engine_s, static_cast<double>(counts) * 0.1,
              0.35);  // absolute: missing samples of a busy machine
  EXPECT_GT(engine_s, 30 * wall_s);
  RecordProperty("skipped", std::to_string(skipped));
}

}  // namespace
}  // namespace leeward::daemon
