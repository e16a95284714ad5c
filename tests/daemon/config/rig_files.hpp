#pragma once
/// A rig with its fan and house in a folder of their own.

#include <gtest/gtest.h>

#include "daemon/config/load_rig.hpp"
#include "tests/daemon/config/config_files.hpp"

namespace leeward::daemon::config_test {

inline const std::string kRigFanText = R"([fan]
name = "demo-fan"
density_kg_m3 = 1.2041          # air for which the calibration holds
min_demand_frac = 0.05
curve_m3_s_pa = [[0.0, 300.0], [1.0, 255.0], [2.0, 120.0]]   # full demand, no restriction
[[fan.restriction]]             # largest first
name = "bore-300"
k_m3_s_pam = 0.204              # flow = k * signal^m
m = 0.5
signal_min_pa = 5.0
signal_max_pa = 400.0
loss_frac = 0.1                 # part of the signal that is lost for good; optional
)";

inline std::string rig_channel(const char* name, const char* table, int address, const char* type) {
  return std::string("[[device.channel]]\nname = \"") + name + "\"\ntable = \"" + table +
         "\"\naddress = " + std::to_string(address) + "\ntype = \"" + type + "\"\n";
}

/// The agreed example with the other channels that a fan needs.
inline std::string rig_text() {
  return R"([rig]
name = "demo"
sample_hz = 10
[device]
kind = "modbus-tcp"             # simulated | modbus-tcp | modbus-rtu | linux
host = "127.0.0.1"
port = 1502
unit = 1
timeout_ms = 200
[[device.channel]]
name = "building_pressure"
table = "input"                 # input | holding | coil | discrete
address = 0                     # protocol address, from 0
type = "float32"                # int16 | uint16 | int32 | uint32 | float32 | bit
word_order = "big"              # big | little
scale = 1.0                     # value = raw * scale + offset; on writing the inverse
offset = 0.0
)" + rig_channel("fan1_signal", "input", 2, "float32") +
         rig_channel("fan1_demand", "holding", 0, "float32") + rig_channel("fan1_enable", "coil", 0, "bit") +
         R"([[fan]]
file = "../fans/demo-fan.toml"  # restrictions by bore with K, exponent, valid signal range; fan curve; limits
fitted = "bore-300"
[limits]
building_pressure_max_pa = 80
)";
}

inline std::string simulated_rig_text() {
  return "[rig]\nname = \"desk\"\n[device]\nkind = \"simulated\"\n[simulated]\nhouse = "
         "\"../houses/house.toml\"\nspeed = 10\nseed = 42\n[[fan]]\nfile = \"../fans/demo-fan.toml\"\nfitted "
         "= "
         "\"bore-300\"\n";
}

class RigFiles : public testing::Test {
 protected:
  RigFiles() {
    folder_.write("fans/demo-fan.toml", kRigFanText);
    folder_.write(
        "houses/house.toml",
        "[house]\nname = \"h\"\nvolume_m3 = 300\n[[fan]]\nfile = \"../fans/demo-fan.toml\"\nfitted = "
        "\"bore-300\"\n");
  }
  Loaded<RigSpec> load(const std::string& text) {
    Loaded<RigSpec> rig = load_rig(folder_.write("rigs/rig.toml", text));
    EXPECT_EQ(rig.value.has_value(), rig.errors.empty());
    return rig;
  }
  std::vector<std::string> errors(const std::string& text) { return brief(load(text).errors); }
  /// Of the agreed example with one change.
  std::vector<std::string> changed(const std::string& from, const std::string& to) {
    return errors(with(rig_text(), from, to));
  }
  TempFolder folder_;
};

}  // namespace leeward::daemon::config_test
