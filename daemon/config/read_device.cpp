#include "daemon/config/read_device.hpp"

#include <algorithm>
#include <array>
#include <limits>

#include "daemon/config/file_paths.hpp"
#include "daemon/config/gauge_accuracy.hpp"
#include "daemon/config/load_channels.hpp"
#include "daemon/config/load_fan.hpp"
#include "daemon/config/load_house.hpp"
#include "daemon/config/number_keys.hpp"

namespace leeward::daemon {
namespace {

/// A read that takes longer than this part of the period would make the next one late.
constexpr double kTimeoutFrac = 0.4;
constexpr IntegerRange kPort{1, 65535, ""};
constexpr IntegerRange kUnit{0, 255, ""};
constexpr IntegerRange kTimeout{1, 10000, "ms"};
constexpr NumberRange kFanTimeout{0.2, 60, "s"};
constexpr NumberRange kSpeed{0.1, 1000, "times real time"};

enum class NamedKind : std::uint8_t { simulated, modbus_tcp, modbus_rtu, linux_io };
constexpr std::array kDeviceKinds = std::to_array<Choice<NamedKind>>({{"simulated", NamedKind::simulated},
                                                                      {"modbus-tcp", NamedKind::modbus_tcp},
                                                                      {"modbus-rtu", NamedKind::modbus_rtu},
                                                                      {"linux", NamedKind::linux_io}});
constexpr std::array kModbusKeys{
    "host", "port", "unit", "timeout_ms", "fan_timeout_s", "channel", kGaugeAccuracyKey.rule.key};

int longest_timeout_ms(double sample_hz) { return static_cast<int>(kTimeoutFrac * 1000 / sample_hz); }

void read_timeout(TableReader& device, ModbusSpec& modbus, double sample_hz) {
  const int longest = longest_timeout_ms(sample_hz);
  if (!device.integer("timeout_ms", modbus.timeout_ms, kTimeout)) {
    modbus.timeout_ms = std::min(modbus.timeout_ms, longest);
  } else if (modbus.timeout_ms > longest) {
    device.warn("timeout_ms", "is " + std::to_string(modbus.timeout_ms) + ", cut to " +
                                  std::to_string(longest) + " ms: at most 0.4 of the sample period");
    modbus.timeout_ms = longest;
  }
}

/// How the fan stops when the wire goes silent is the one thing that software cannot promise.
void warn_about_silence(TableReader& device, const RigSpec& rig) {
  if (rig.engine.silence_stop == control::SilenceStop::none)
    device.warn("kind",
                "rig.silence_stop is \"none\": the fan may run on when the wire goes silent, so "
                "unattended runs are refused");
  if (rig.engine.silence_stop != control::SilenceStop::device_timeout) return;
  for (std::size_t fan = 0; fan < rig.engine.fans.size(); ++fan) {
    const std::string name = "fan" + std::to_string(fan + 1) + "_timeout";
    if (!has_channel(rig.modbus.channels, name))
      device.warn("channel", "no " + name +
                                 " although rig.silence_stop is \"device-timeout\": set the "
                                 "time-out in the drive itself, and try it once");
  }
}

void read_modbus(TableReader& device, RigSpec& rig) {
  ModbusSpec& modbus = rig.modbus;
  device.text("host", modbus.host, 253, Need::required);
  device.integer("port", modbus.port, kPort);
  device.integer("unit", modbus.unit, kUnit);
  read_timeout(device, modbus, rig.engine.sample_hz);
  device.number("fan_timeout_s", modbus.fan_timeout_s, kFanTimeout);
  rig.engine.building_gauge_accuracy_frac = kUsualGaugeAccuracyFrac;  // a simulated gauge keeps its scale
  read_number(device, kGaugeAccuracyKey, rig.engine.building_gauge_accuracy_frac);
  modbus.channels = read_channels(device, std::max<std::size_t>(1, rig.engine.fans.size()));
  if (!modbus.channels.empty()) warn_about_silence(device, rig);
}

/// What is fitted is a matter of the rig; the house only lends its fans.
void match_fans(TableReader& table, const control::EngineConfig& engine, sim::HouseSpec& house) {
  if (house.fans.size() != engine.fans.size()) {
    table.conclude("house", "has " + std::to_string(house.fans.size()) + " fan(s), the rig has " +
                                std::to_string(engine.fans.size()) + "; they must be as many");
    return;
  }
  for (std::size_t i = 0; i < engine.fans.size(); ++i) {
    const control::FanSpec& fan = engine.fans[i];
    if (fan.restrictions.empty()) continue;  // its file was refused, and that has been said
    const auto name = fan.restrictions[static_cast<std::size_t>(fan.fitted)].name.view();
    const auto fitted = restriction_named(house.fans[i].fan, name);
    if (fitted)
      house.fans[i].fan.fitted = *fitted;
    else
      table.conclude("house",
                     "its fan has no restriction \"" + std::string(name) + "\", which the rig has fitted");
  }
}

void read_simulated(TableReader& table, RigSpec& rig) {
  std::string house_file;
  if (table.text("house", house_file, 1000, Need::required)) {
    const std::string path = relative_to_file(table.findings().file, house_file);
    const Loaded<sim::HouseSpec> house = load_house(path);
    table.add_file("house", path, house.errors, house.warnings);
    if (house) {
      rig.simulated.house = *house.value;
      match_fans(table, rig.engine, rig.simulated.house);
    }
  }
  table.number("speed", rig.simulated.speed, kSpeed);
  std::int64_t seed = 1;
  if (table.integer("seed", seed, {0, std::numeric_limits<std::int64_t>::max(), ""}))
    rig.simulated.seed = static_cast<std::uint64_t>(seed);
  table.finish();
}

/// A table or key of the other kind may stay in the file, so that a rig can be tried at the desk.
void pass_over(TableReader& table, const char* key, const char* kind) {
  if (table.has(key)) table.warn(key, std::string("is not used by device.kind = \"") + kind + "\"");
}

}  // namespace

void read_device(TableReader& file, RigSpec& rig) {
  auto device = file.table("device", Need::required);
  NamedKind kind = NamedKind::simulated;
  const bool known = device && device->choice<NamedKind>("kind", kind, kDeviceKinds, Need::required);
  const bool supported = kind == NamedKind::simulated || kind == NamedKind::modbus_tcp;
  if (known && !supported) {
    device->error("kind", "is not supported in this version: use \"simulated\" or \"modbus-tcp\"");
  }
  if (!known || !supported) {  // what belongs to the device cannot be judged
    file.skip("simulated");
    return;
  }
  if (kind == NamedKind::modbus_tcp) {
    rig.device = DeviceKind::modbus_tcp;
    read_modbus(*device, rig);
    file.skip("simulated");
    pass_over(file, "simulated", "modbus-tcp");
  } else {
    rig.device = DeviceKind::simulated;
    for (const char* key : kModbusKeys) {
      device->skip(key);
      pass_over(*device, key, "simulated");
    }
    if (auto table = file.table("simulated", Need::required)) read_simulated(*table, rig);
  }
  device->finish();
}

}  // namespace leeward::daemon
