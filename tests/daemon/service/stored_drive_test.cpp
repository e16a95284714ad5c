#include "daemon/service/stored_drive.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <stdlib.h>

#include <fstream>

#include "daemon/config/load_rig.hpp"
#include "tests/daemon/config/found_drive_example.hpp"

namespace leeward::daemon {
namespace {
using testing::HasSubstr;

class StoredDriveOf : public testing::Test {
 protected:
  StoredDriveOf() {
    std::string pattern = (std::filesystem::temp_directory_path() / "leeward-drive-XXXXXX").string();
    state_ = ::mkdtemp(pattern.data());
    rig_ = *load_rig(LEEWARD_SOURCE_DIR "/config/rigs/simulated.toml").value;
    rig_.engine.learns_drive = true;
  }
  ~StoredDriveOf() override { std::filesystem::remove_all(state_); }

  [[nodiscard]] FoundDrive drive() const { return config_test::found_drive_of(drive_owner(rig_)); }
  void write(const std::string& text) const {
    const std::filesystem::path folder = drives_folder(rig_, runs());
    std::filesystem::create_directories(folder);
    const DriveOwner owner = drive_owner(rig_);
    std::ofstream(folder / found_drive_file_name(owner.rig, owner.fan)) << text;
  }
  [[nodiscard]] std::filesystem::path runs() const { return state_ / "runs"; }
  void expect_refused(const std::string& why) {
    const control::EngineConfig before = rig_.engine;
    const StoredDrive stored = use_stored_drive(runs(), rig_);
    EXPECT_TRUE(stored.is_refused);
    EXPECT_FALSE(stored.drive);
    EXPECT_THAT(stored.text, HasSubstr(why));
    EXPECT_THAT(stored.text, HasSubstr("the figures of the rig file hold"));
    EXPECT_THAT(stored.text, HasSubstr("leeward rig-learn"));
    EXPECT_EQ(rig_.engine, before);
  }

  std::filesystem::path state_;
  RigSpec rig_;
};

TEST_F(StoredDriveOf, ItsOwnRigIsPutOverTheSettingsAndIntoTheText) {
  write(found_drive_text(drive()));

  const StoredDrive stored = use_stored_drive(runs(), rig_);

  ASSERT_TRUE(stored.drive) << stored.text;
  EXPECT_EQ(rig_.engine.regulator.drive_slew_s, 5.5);
  EXPECT_EQ(rig_.engine.regulator.drive_lag_s, 0.9);
  EXPECT_EQ(rig_.engine.regulator.sensor_lag_s, 0.25);
  EXPECT_EQ(rig_.engine.regulator.signal_lag_s, 0.35);
  EXPECT_FALSE(rig_.engine.learns_drive);
  EXPECT_THAT(rig_.source_text, HasSubstr("# found_at_utc = \"2026-05-04T10:20:30Z\""));
}

TEST_F(StoredDriveOf, NothingStoredChangesNothing) {
  const StoredDrive stored = use_stored_drive(runs(), rig_);

  EXPECT_FALSE(stored.drive);
  EXPECT_FALSE(stored.is_refused);
  EXPECT_EQ(stored.text, "");
  EXPECT_TRUE(rig_.engine.learns_drive);
}

TEST_F(StoredDriveOf, WithoutTheWordOfTheRigFileItIsLeftAside) {
  write(found_drive_text(drive()));
  rig_.engine.learns_drive = false;
  const control::EngineConfig before = rig_.engine;

  const StoredDrive stored = use_stored_drive(runs(), rig_);

  EXPECT_FALSE(stored.drive);
  EXPECT_THAT(stored.text, HasSubstr("no learn_drive = true"));
  EXPECT_EQ(rig_.engine, before);
}

TEST_F(StoredDriveOf, AnotherRigOrDeviceIsRefused) {
  FoundDrive other = drive();
  other.owner.device = "modbus-tcp 192.0.2.1:502 unit 1";
  write(found_drive_text(other));

  expect_refused("drive.device is");
}

TEST_F(StoredDriveOf, ADamagedFileOrAnotherFormatIsRefusedByField) {
  FoundDrive odd = drive();
  odd.found.lag_s.value = 1000;
  write(found_drive_text(odd));
  expect_refused("drive.lag_s");

  std::string newer = found_drive_text(drive());
  newer.replace(newer.find("format = 1"), 10, "format = 7");
  write(newer);
  expect_refused("drive.format");

  write("[drive");
  expect_refused("drive");
}

TEST_F(StoredDriveOf, AFolderInItsPlaceIsRefused) {
  const DriveOwner owner = drive_owner(rig_);
  std::filesystem::create_directories(drives_folder(rig_, runs()) /
                                      found_drive_file_name(owner.rig, owner.fan));

  expect_refused("is a directory");
}

TEST_F(StoredDriveOf, FarFromWhatTheRigFileTellsItWarns) {
  write(found_drive_text(drive()));
  rig_.engine.regulator.drive_lag_s = 0.2;

  const StoredDrive stored = use_stored_drive(runs(), rig_);

  ASSERT_EQ(stored.warnings.size(), 1U);
  EXPECT_THAT(stored.warnings[0], HasSubstr("drive_lag_s"));
}

TEST_F(StoredDriveOf, AFolderForRecordingsThatTheRigFileNamesHoldsItToo) {
  EXPECT_EQ(drives_folder(rig_, "/a/runs"), "/a/drives");
  rig_.recordings_directory = "/data/house";
  EXPECT_EQ(drives_folder(rig_, "/data/house"), "/data/house/drives");
}

}  // namespace
}  // namespace leeward::daemon
