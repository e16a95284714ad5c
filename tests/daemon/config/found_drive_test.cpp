#include "daemon/config/found_drive.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/daemon/config/config_files.hpp"
#include "tests/daemon/config/found_drive_example.hpp"

namespace leeward::daemon {
namespace {

using config_test::brief;
using config_test::with;
using testing::Contains;
using testing::HasSubstr;

FoundDrive example_drive() {
  FoundDrive drive = config_test::found_drive_of({.rig = "rig \"one\" \\ two",
                                                  .fan = "demo-fan",
                                                  .fan_serial = "A-1",
                                                  .device = "modbus-tcp 192.0.2.1:502 unit 1"});
  drive.found.slew_s.value = 6.0 + 1.0 / 3;
  drive.found.lag_s = {1, 0.1};
  drive.found.sensor_lag_s.value = 0.3;
  return drive;
}

std::vector<std::string> drive_errors(const std::string& text) {
  const config_test::TempFolder folder;
  const auto drive = load_found_drive(folder.write("drive.toml", text));
  EXPECT_EQ(drive.value.has_value(), drive.errors.empty());
  return brief(drive.errors);
}

TEST(FoundDrive, ReadsBackAsItWasWritten) {
  const config_test::TempFolder folder;

  const auto drive = load_found_drive(folder.write("drive.toml", found_drive_text(example_drive())));

  ASSERT_TRUE(drive) << to_text(drive.errors);
  EXPECT_EQ(*drive.value, example_drive());
  EXPECT_TRUE(drive.warnings.empty());
}

TEST(FoundDrive, ADamagedFileNamesTheKey) {
  const std::string good = found_drive_text(example_drive());

  EXPECT_THAT(drive_errors(with(good, "\nlag_s = 1", "\nlag_s = nan")), Contains(HasSubstr("drive.lag_s")));
  EXPECT_THAT(drive_errors(with(good, "\nlag_s = 1", "\nlag_s = 1000")), Contains(HasSubstr("drive.lag_s")));
  EXPECT_THAT(drive_errors(with(good, "\nslew_u_s = 0.1", "\nslew_u_s = -1")),
              Contains(HasSubstr("drive.slew_u_s")));
  EXPECT_THAT(drive_errors(with(good, "\nscale = ", "\nscales = ")), Contains(HasSubstr("drive.scale")));
  EXPECT_THAT(drive_errors(with(good, "found_at_utc = \"2026-05-04T10:20:30Z\"", "found_at_utc = 3")),
              Contains(HasSubstr("drive.found_at_utc")));
}

TEST(FoundDrive, AnotherFormatIsRefusedWithoutAWordAboutItsOtherKeys) {
  const std::string good = found_drive_text(example_drive());

  const auto errors = drive_errors(with(with(good, "format = 1", "format = 2"), "\nscale = ", "\nnew = "));

  ASSERT_EQ(errors.size(), 1U);
  EXPECT_THAT(errors[0], HasSubstr("drive.format"));
  EXPECT_THAT(errors[0], HasSubstr("is 2, this version reads format 1"));
}

TEST(FoundDrive, AnotherRigIsToldByTheKeyThatDiffers) {
  const DriveOwner mine = example_drive().owner;
  const auto key_of_change = [&mine](std::string DriveOwner::*member) {
    DriveOwner other = mine;
    other.*member = "other";
    return other_owner_text(mine, other);
  };

  EXPECT_EQ(other_owner_text(mine, mine), "");
  EXPECT_THAT(key_of_change(&DriveOwner::rig), HasSubstr("drive.rig is"));
  EXPECT_THAT(key_of_change(&DriveOwner::fan), HasSubstr("drive.fan is"));
  EXPECT_THAT(key_of_change(&DriveOwner::fan_serial), HasSubstr("drive.fan_serial is"));
  EXPECT_THAT(key_of_change(&DriveOwner::device), HasSubstr("drive.device is"));
}

TEST(FoundDrive, ASerialCountsOnlyWhereBothAreTold) {
  const DriveOwner mine = example_drive().owner;
  DriveOwner untold = mine;
  untold.fan_serial.clear();

  EXPECT_EQ(other_owner_text(mine, untold), "");
  EXPECT_EQ(other_owner_text(untold, mine), "");
}

TEST(FoundDrive, HalfAFileOrNoneIsAnError) {
  const std::string good = found_drive_text(example_drive());
  EXPECT_FALSE(drive_errors(good.substr(0, good.size() / 2)).empty());
  EXPECT_FALSE(drive_errors("").empty());
  EXPECT_FALSE(drive_errors("[drive").empty());
  EXPECT_FALSE(load_found_drive("/nonexistent/drive.toml"));
}

TEST(FoundDrive, TheFileNameCannotLeaveItsFolder) {
  EXPECT_EQ(found_drive_file_name("../my rig", "fan/a"), ".._my_rig--fan_a.toml");
}

}  // namespace
}  // namespace leeward::daemon
