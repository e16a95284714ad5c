#include "daemon/service/rig_locks.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <stdlib.h>
#include <unistd.h>

namespace leeward::daemon {
namespace {
using testing::Contains;
using testing::HasSubstr;

RigSpec locked_rig(const std::string& host, int unit = 1) {
  RigSpec rig;
  rig.device = DeviceKind::modbus_tcp;
  rig.modbus.host = host;
  rig.modbus.port = 1502;
  rig.modbus.unit = unit;
  return rig;
}
}  // namespace

class RigLocks : public testing::Test {
 protected:
  RigLocks() {
    std::string pattern = testing::TempDir() + "/leeward-locks-XXXXXX";
    folder_ = ::mkdtemp(pattern.data());
    for (const char* name : {"a", "b", "devices"}) std::filesystem::create_directory(folder_ / name);
  }
  ~RigLocks() override { std::filesystem::remove_all(folder_); }
  /// As a daemon with socket and recordings of its own, or with those of another.
  [[nodiscard]] control::Result<std::vector<InstanceLock>> lock(const RigSpec& rig, const std::string& socket,
                                                                const std::string& recordings) const {
    return lock_rig(rig, folder_ / (socket + ".sock"), folder_ / recordings, folder_ / "devices");
  }
  std::filesystem::path folder_;
};

TEST_F(RigLocks, TwoDaemonsOnDifferentRigsDoNotDisturbEachOther) {
  const auto first = lock(locked_rig("127.0.0.1"), "a", "a");
  ASSERT_TRUE(first.has_value()) << first.error().text;

  EXPECT_TRUE(lock(locked_rig("127.0.0.1", 2), "b", "b").has_value());
}

TEST_F(RigLocks, ASecondOnOneDeviceIsBusyThoughAllElseDiffers) {
  const auto first = lock(locked_rig("127.0.0.1"), "a", "a");
  ASSERT_TRUE(first.has_value());

  const auto second = lock(locked_rig("localhost"), "b", "b");

  ASSERT_FALSE(second.has_value());
  EXPECT_EQ(second.error().code, control::Errc::busy);
  EXPECT_THAT(second.error().text, HasSubstr("drives the device"));
  EXPECT_THAT(second.error().text, HasSubstr((folder_ / "a.sock").string()));
  EXPECT_THAT(second.error().text, HasSubstr("[device]"));
}

TEST_F(RigLocks, ASecondOnOneFolderOfRecordingsIsBusy) {
  const auto first = lock(RigSpec{}, "a", "a");
  ASSERT_TRUE(first.has_value());

  const auto second = lock(RigSpec{}, "b", "a");

  ASSERT_FALSE(second.has_value());
  EXPECT_THAT(second.error().text, HasSubstr("records into " + (folder_ / "a").string()));
  EXPECT_THAT(second.error().text, HasSubstr("[recorder] directory"));
}

TEST_F(RigLocks, ASecondOnOneSocketIsBusy) {
  const auto first = lock(RigSpec{}, "a", "a");
  ASSERT_TRUE(first.has_value());

  const auto second = lock(RigSpec{}, "a", "b");

  ASSERT_FALSE(second.has_value());
  EXPECT_THAT(second.error().text, HasSubstr("listens on"));
}

TEST_F(RigLocks, WhatCouldNotBeLockedAsAWholeIsNotLockedInPart) {
  const auto first = lock(locked_rig("127.0.0.1"), "a", "a");
  ASSERT_FALSE(lock(locked_rig("127.0.0.1"), "b", "b").has_value());

  EXPECT_TRUE(lock(locked_rig("127.0.0.1", 2), "b", "b").has_value());
}

TEST(DeviceAddresses, AreTheNameAndTheNumbersThatItStandsFor) {
  EXPECT_THAT(device_addresses(locked_rig("LocalHost")), Contains("localhost-1502-1"));
  EXPECT_THAT(device_addresses(locked_rig("LocalHost")), Contains("127.0.0.1-1502-1"));
  EXPECT_EQ(device_addresses(locked_rig("127.1")).size(), 2U);  // as written, and 127.0.0.1
  EXPECT_TRUE(device_addresses(RigSpec{}).empty());
}

TEST(DeviceAddresses, NeverLeaveTheirFolder) {
  for (const std::string& address : device_addresses(locked_rig("../x/" + std::string(240, 'y')))) {
    EXPECT_EQ(address.find('/'), std::string::npos) << address;
    EXPECT_LT(address.size(), 230U);
  }
}

TEST(DeviceLockFolder, IsUsableEvenWhereTheRuntimeDirectoryIsNot) {
  const char* runtime = ::getenv("RUNTIME_DIRECTORY");
  const std::string before = runtime == nullptr ? "" : runtime;
  ::setenv("RUNTIME_DIRECTORY", "/proc/nonexistent", 1);

  const auto folder = device_lock_folder();

  if (runtime == nullptr)
    ::unsetenv("RUNTIME_DIRECTORY");
  else
    ::setenv("RUNTIME_DIRECTORY", before.c_str(), 1);
  ASSERT_TRUE(folder.has_value());
  EXPECT_EQ(::access(folder->c_str(), W_OK), 0) << *folder;
}

}  // namespace leeward::daemon
