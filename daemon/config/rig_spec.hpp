#pragma once
/// A rig file as data: device, channels, fans, limits, where to listen and where to record.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "control/engine_config.hpp"
#include "daemon/config/resume_within.hpp"
#include "sim/house_spec.hpp"

namespace leeward::daemon {

enum class DeviceKind : std::uint8_t { simulated, modbus_tcp };
enum class RegisterTable : std::uint8_t { input, holding, coil, discrete };
enum class RegisterType : std::uint8_t { int16, uint16, int32, uint32, float32, bit };
enum class WordOrder : std::uint8_t { big, little };

/// value = raw * scale + offset; on writing the inverse.
struct ChannelSpec {
  std::string
      name;  ///< building_pressure, fan1_signal, fan1_demand, fan1_enable, fan1_speed, fan1_timeout, ...
  RegisterTable table = RegisterTable::input;
  int address = 0;  ///< protocol address, from 0
  RegisterType type = RegisterType::float32;
  WordOrder word_order = WordOrder::big;
  double scale = 1;
  double offset = 0;
};

struct ModbusSpec {
  std::string host = "127.0.0.1";
  int port = 1502;
  int unit = 1;
  int timeout_ms = 40;       ///< at most 0.4 of the sample period
  double fan_timeout_s = 1;  ///< written to fanN_timeout channels where named
  std::vector<ChannelSpec> channels;
};

struct SimulatedSpec {
  sim::HouseSpec house;
  double speed = 1;  ///< simulated seconds per second of the wall clock
  std::uint64_t seed = 1;
};

/// Nothing listens on the network unless `tcp_port` is set; then every request needs a token.
struct ListenSpec {
  std::string socket_path;  ///< empty: the default in the runtime directory
  std::string tcp_host = "127.0.0.1";
  int tcp_port = 0;
  std::string token_file;          ///< of hashed tokens; empty: tokens.toml in the state folder
  std::vector<std::string> names;  ///< that the daemon answers to, beside those of the machine
};

struct RigSpec {
  control::EngineConfig engine;
  DeviceKind device = DeviceKind::simulated;
  ModbusSpec modbus;
  SimulatedSpec simulated;
  ListenSpec listen;
  std::string recordings_directory;  ///< empty: the default in the state directory
  double resume_within_s = kResumeWithinS;
  std::string fan_serial;   ///< of the first fan, where told
  std::string source_text;  ///< the rig file as read, for the recording
};

}  // namespace leeward::daemon
