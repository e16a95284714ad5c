// What a report takes from files: the fingerprint, and the instruments in the rig file.
#include <gtest/gtest.h>

#include <fstream>

#include "daemon/document/display_units.hpp"
#include "daemon/document/equipment.hpp"
#include "daemon/document/file_hash.hpp"
#include "tests/daemon/recorder/synthetic_ticks.hpp"

namespace leeward::daemon {
namespace {

TEST(HashRecording, IsSha256) {
  const synthetic::TemporaryDirectory directory;
  std::ofstream(directory / "a") << "abc";

  const auto hash = hash_recording(directory / "a");

  ASSERT_TRUE(hash.has_value());
  // FIPS 180-4, example of one block (from memory)
  EXPECT_EQ(hash->sha256, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_FALSE(hash->has_journal);
}

TEST(HashRecording, SeesAJournalBesideTheFile) {
  const synthetic::TemporaryDirectory directory;
  std::ofstream(directory / "a") << "abc";
  std::ofstream(directory / "a-wal") << "more";

  EXPECT_TRUE(hash_recording(directory / "a")->has_journal);
  EXPECT_FALSE(hash_recording(directory / "b").has_value());
}

TEST(EquipmentOf, ReadsSerialAndCalibrationWhereTheyAreStated) {
  const Equipment e = equipment_of(R"(
[rig]
name = "demo"
serial = "R-7"
[device]
kind = "modbus-tcp"
host = "192.0.2.7"
port = 502
[[device.channel]]
name = "building_pressure"
serial = "P-1"
calibrated = "2026-03-01"
[[device.channel]]
name = "fan1_signal"
calibrated = "2026-03-02"
[[fan]]
file = "a.toml"
serial = 4711
)");

  EXPECT_EQ(e.rig.serial, "R-7");
  EXPECT_EQ(e.connection, "modbus-tcp, 192.0.2.7:502");
  EXPECT_EQ(e.building_pressure.calibrated, "2026-03-01");
  ASSERT_EQ(e.signals.size(), 1U);
  EXPECT_EQ(e.signals[0].calibrated, "2026-03-02");
  ASSERT_EQ(e.fans.size(), 1U);
  EXPECT_EQ(e.fans[0].serial, "4711");
  EXPECT_EQ(e.fans[0].calibrated, "");
}

TEST(EquipmentOf, TakesTextThatIsNoRigFile) {
  EXPECT_TRUE(equipment_of("not [ toml").fans.empty());
  EXPECT_TRUE(equipment_of("fan = 3\ndevice = [1]\nrig = \"x\"").fans.empty());
}

TEST(DisplayUnits, ConvertByTheirDefinitions) {
  const DisplayUnits ip = display_units(UnitSystem::ip);

  EXPECT_NEAR(ip.flow.shown(1), 2118.880, 0.001);  // 1 m3/s = 60 / 0.3048^3 cfm, computed here
  EXPECT_DOUBLE_EQ(ip.temperature.shown(20), 68);
  EXPECT_NEAR(ip.barometer.shown(101325), 29.92, 0.005);  // standard atmosphere (from memory)
  EXPECT_NEAR(ip.density.shown(1.2041), 0.07517, 1e-5);   // computed here: / 16.01846
  EXPECT_NEAR(ip.speed.shown(10), 22.369, 0.001);
  EXPECT_DOUBLE_EQ(display_units(UnitSystem::si).flow.shown(0.37), 370);
  EXPECT_EQ(figure_in(display_units(UnitSystem::metric).flow, 0.37), "1332 m³/h");
}

}  // namespace
}  // namespace leeward::daemon
